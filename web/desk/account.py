"""One's own account: a new password, which signs every other device out, and an e-mail address."""

from __future__ import annotations

from typing import Any

from django import forms
from django.conf import settings
from django.contrib import messages
from django.contrib.auth import update_session_auth_hash
from django.contrib.auth.decorators import login_required
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy
from django.views.decorators.cache import never_cache
from django.views.decorators.debug import sensitive_post_parameters

from matches.problems import Code, MustWait, Problem
from matches.reads.second_factor import second_of
from matches.writes.addresses import address_ask, address_confirm, address_read
from matches.writes.attempts import Door, Tally, attempt_begin, name_folded
from matches.writes.passwords import password_set
from web.methods import shown_and_sent
from web.password_form import PasswordForm, password_field
from web.people import person_of
from web.sign_in import password_asked


class ChangeForm(PasswordForm):
    own = password_field(gettext_lazy("Your password now"), new=False)
    field_order = ("own", "password", "again")


class AddressForm(forms.Form):
    email = forms.EmailField(
        label=gettext_lazy("E-mail address"),
        required=False,
        help_text=gettext_lazy("Nobody else sees it. Left empty, the account has none."),
        widget=forms.EmailInput({"autocomplete": "email"}),
    )
    own = password_field(gettext_lazy("Your password now"), new=False)


@never_cache
@sensitive_post_parameters()
@login_required
@shown_and_sent
def account(request: HttpRequest) -> HttpResponse:
    """What one signs in with."""
    if request.method == "POST" and request.POST.get("do") == "address":
        return _address_asked(request)
    form = ChangeForm(request.POST or None)
    if request.method != "POST" or not form.is_valid() or not _owned(request, form):
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


@never_cache
@login_required
@shown_and_sent
def address(request: HttpRequest, letter: str) -> HttpResponse:
    """What the letter to a new address opens."""
    person = person_of(request)
    asked = address_read(person, code=letter)
    if request.method != "POST":
        return render(request, "desk/address.html", {"asked": asked})
    address_confirm(person, code=letter)
    messages.success(request, _("The address is yours: a lost password can be set anew by it."))
    return redirect("desk:account")


def _address_asked(request: HttpRequest) -> HttpResponse:
    """Raises Problem."""
    form = AddressForm(request.POST, prefix="mail")
    if not settings.EMAIL_URL:
        raise Problem(Code.NOT_FOUND, _("This site sends no mail."))
    if not form.is_valid() or not _owned(request, form):
        return _page(request, ChangeForm(), mail=form)
    wanted = form.cleaned_data["email"]
    if wanted:
        attempt_begin(Tally(Door.LETTER, name_folded(wanted)))
    address_ask(person_of(request), address=wanted)
    said = _("An e-mail is on its way to that address: open its link while you are signed in here.")
    messages.success(request, said if wanted else _("The account has no address any more."))
    return redirect("desk:account")


def _owned(request: HttpRequest, form: ChangeForm | AddressForm) -> bool:
    """Whether the password they sign in with was typed; said at its field. Raises MustWait."""
    try:
        password_asked(person_of(request), form.cleaned_data["own"])
    except MustWait:
        raise
    except Problem as refused:
        form.add_error("own", refused.detail)
        return False
    return True


def _change(request: HttpRequest, password: str) -> None:
    person = person_of(request)
    here = request.session.session_key or ""
    password_set(person, password=password, verb="password_change", keep=here)
    update_session_auth_hash(request, person)


def _page(
    request: HttpRequest, form: ChangeForm, *, mail: AddressForm | None = None
) -> HttpResponse:
    person = person_of(request)
    shown: dict[str, Any] = {"form": form}
    shown |= {"notices": person.notices.all(), "second": second_of(person)}
    if settings.EMAIL_URL:
        typed = {"email": person.email}
        shown["mail"] = mail or AddressForm(prefix="mail", initial=typed)
    return render(request, "desk/account.html", shown)
