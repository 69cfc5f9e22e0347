"""The way in by e-mail for who has lost the password, where mail is set up."""

from __future__ import annotations

from typing import Any, cast

from django import forms
from django.conf import settings
from django.contrib import messages
from django.contrib.auth.forms import PasswordResetForm
from django.contrib.auth.views import INTERNAL_RESET_SESSION_TOKEN, PasswordResetConfirmView
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy
from django.views.decorators.cache import never_cache

from matches.models import LetterKind, Person
from matches.problems import MustWait
from matches.writes.attempts import Door, Tally, attempt_begin, name_folded
from matches.writes.letters import letter_write
from matches.writes.passwords import password_set
from web.methods import shown_and_sent

from .password_form import PasswordForm
from .sign_in import address_of, way_in
from .waiting import told_to_wait

ACCOUNTS_MOST = 5


class MailForm(forms.Form):
    email = forms.EmailField(
        label=gettext_lazy("E-mail address of the account"),
        widget=forms.EmailInput({"autocomplete": "email"}),
    )


@never_cache
@shown_and_sent
def recover_mail(request: HttpRequest) -> HttpResponse:
    """Ask for a letter. The answer is the same for an address that is known and one that is not."""
    if not settings.EMAIL_URL:
        return redirect("recover")  # where it says whom to ask
    form = MailForm(request.POST or None)
    if request.method != "POST" or not form.is_valid():
        return _page(request, form)
    try:
        _ask(request, form.cleaned_data["email"])
    except MustWait as wait:
        return told_to_wait(_page(request, form, wait=wait.detail), wait)
    messages.success(
        request,
        _(
            "If an account has this address, an e-mail is on its way to it. Its link works once, "
            "within half an hour."
        ),
    )
    return redirect("recover")


def _ask(request: HttpRequest, address: str) -> None:
    """Every letter asked for is counted, by where it goes and by who asks. Raises MustWait."""
    place = address_of(request)
    asked = [Tally(Door.LETTER, name_folded(address))]
    attempt_begin(*asked, *([Tally(Door.ASKER, place)] if place else []))
    for person in list(PasswordResetForm().get_users(address))[:ACCOUNTS_MOST]:
        letter_write(person, kind=LetterKind.RECOVER, address=person.email)


def _page(request: HttpRequest, form: MailForm, *, wait: str = "") -> HttpResponse:
    return render(request, "recover_mail.html", {"form": form, "wait": wait})


class LinkForm(PasswordForm):
    """Django's view hands the account over first."""

    def __init__(self, user: Any, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)


class RecoverLinkView(PasswordResetConfirmView):
    """What the letter's link opens: a new password, then one is in and every other device out.

    Django keeps the token in the session and shows the form at an address without it.
    """

    # Ours has the fields of every page that sets a password, not those of Django's own form.
    form_class = LinkForm  # type: ignore[assignment]
    template_name = "recover_link.html"

    def form_valid(self, form: Any) -> HttpResponse:
        person = cast(Person, self.user)  # without one, Django's view shows no form
        password_set(person, password=form.cleaned_data["password"], verb="recovery_by_mail")
        del self.request.session[INTERNAL_RESET_SESSION_TOKEN]
        said = _(
            "You are in, with the new password. Sign in anew on your phones: what they have not "
            "sent yet is still on them, and goes then."
        )
        return way_in(self.request, person, onward=reverse("desk:home"), said=said)
