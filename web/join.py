"""What an invitation's link opens: in with one's account or a new one, then on to the phone."""

from __future__ import annotations

from django.contrib.auth.forms import BaseUserCreationForm
from django.db import transaction
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy
from django.views.decorators.cache import never_cache

from matches.models import Match, Person
from matches.problems import Code, Problem
from matches.reads.access import clubs_of
from matches.reads.invitations import invitation_of
from matches.writes.invitations import invitation_take
from web.methods import shown_and_sent

from .password_form import METER, NEW_HELP
from .people import person_of
from .sign_in import session_begin


class AccountForm(BaseUserCreationForm):  # type: ignore[type-arg]
    """A new account: the names one goes by, the name to sign in with, a password typed twice."""

    class Meta:
        model = Person
        fields = ("first_name", "last_name", "username")
        labels = {
            "first_name": gettext_lazy("First name"),
            "last_name": gettext_lazy("Family name"),
            "username": gettext_lazy("Name you sign in with"),
        }

    def __init__(self, *args: object, **kwargs: object) -> None:
        super().__init__(*args, **kwargs)
        for name in ("first_name", "last_name"):
            self.fields[name].required = True
        self.fields["password1"].label = _("Password")
        self.fields["password1"].help_text = NEW_HELP
        self.fields["password1"].widget.attrs |= METER
        self.fields["password2"].label = _("The password once more")


@never_cache
@shown_and_sent
def join(request: HttpRequest, code: str) -> HttpResponse:
    """Come into the invitation's club; who is in it is shown the way to the match on the phone."""
    person = person_of(request)
    match = invitation_of(code).match
    if request.method == "POST":
        return _act(request, code, match)
    if person.is_authenticated and clubs_of(person).filter(pk=match.club_id).exists():
        return render(request, "joined.html", {"match": match})
    return _page(request, code, match, AccountForm())


def _act(request: HttpRequest, code: str, match: Match) -> HttpResponse:
    """Do what was pressed. Raises Problem."""
    if request.POST.get("do") == "join":
        if not request.user.is_authenticated:
            raise Problem(Code.NOT_ALLOWED, _("Sign in first, or make an account."))
        invitation_take(person_of(request), code=code)
        return redirect("join", code)
    form = AccountForm(request.POST)
    if not form.is_valid():
        return _page(request, code, match, form)
    with transaction.atomic():
        person = form.save()
        invitation_take(person, code=code)
    session_begin(request, person)
    return redirect("join", code)


def _page(request: HttpRequest, code: str, match: Match, form: AccountForm) -> HttpResponse:
    return render(request, "join.html", {"match": match, "code": code, "form": form})
