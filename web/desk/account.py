"""One's own account: a new password, which signs every other device out."""

from __future__ import annotations

from django.contrib import messages
from django.contrib.auth import update_session_auth_hash
from django.contrib.auth.decorators import login_required
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy
from django.views.decorators.cache import never_cache
from django.views.decorators.debug import sensitive_post_parameters
from django.views.decorators.http import require_http_methods

from matches.problems import MustWait, Problem
from matches.writes.passwords import password_set
from web.password_form import PasswordForm, password_field
from web.people import person_of
from web.sign_in import password_asked


class ChangeForm(PasswordForm):
    own = password_field(gettext_lazy("Your password now"), new=False)
    field_order = ("own", "password", "again")


@never_cache
@sensitive_post_parameters()
@login_required
@require_http_methods(["GET", "HEAD", "POST"])
def account(request: HttpRequest) -> HttpResponse:
    """What one signs in with."""
    form = ChangeForm(request.POST or None)
    if request.method != "POST" or not form.is_valid():
        return _page(request, form)
    try:
        password_asked(person_of(request), form.cleaned_data["own"])
    except MustWait:
        raise
    except Problem as refused:
        form.refused(refused)
        return _page(request, form)
    _change(request, form.cleaned_data["password"])
    messages.success(
        request,
        _(
            "The password is changed. Every other device is signed out; what a phone has not sent "
            "yet stays on it."
        ),
    )
    return redirect("desk:account")


def _change(request: HttpRequest, password: str) -> None:
    person = person_of(request)
    here = request.session.session_key or ""
    password_set(person, password=password, verb="password_change", keep=here)
    update_session_auth_hash(request, person)


def _page(request: HttpRequest, form: ChangeForm) -> HttpResponse:
    return render(request, "desk/account.html", {"room": "desk", "form": form})
