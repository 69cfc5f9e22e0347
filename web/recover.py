"""The way in for who has lost the password: by a code that the secretary or the keeper made."""

from __future__ import annotations

from django import forms
from django.conf import settings
from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.urls import reverse
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy
from django.views.decorators.cache import never_cache
from django.views.decorators.debug import sensitive_post_parameters

from matches.models import Person
from matches.problems import MustWait, Problem
from matches.writes.attempts import Door, Tally, attempt_begin, attempt_fitted
from matches.writes.recovery import recovery_use
from web.methods import shown_and_sent

from .password_form import PasswordForm
from .sign_in import address_of, way_in
from .waiting import told_to_wait


class RecoverForm(PasswordForm):
    username = forms.CharField(
        label=gettext_lazy("Name you sign in with"),
        max_length=150,
        widget=forms.TextInput(
            {"autocomplete": "username", "autocapitalize": "none", "spellcheck": "false"}
        ),
    )
    code = forms.CharField(
        label=gettext_lazy("Code"),
        max_length=40,
        help_text=gettext_lazy("As you were told it: twelve characters, capitals or not."),
        widget=forms.TextInput({"autocomplete": "one-time-code", "spellcheck": "false"}),
    )
    field_order = ("username", "code", "password", "again")


@never_cache
@sensitive_post_parameters()
@shown_and_sent
def recover(request: HttpRequest) -> HttpResponse:
    """Name, code and a new password; then one is in, and every other device is out."""
    form = RecoverForm(request.POST or None)
    if request.method != "POST" or not form.is_valid():
        return _page(request, form)
    try:
        person = _recovered(request, form)
    except MustWait as wait:
        return told_to_wait(_page(request, form, wait=wait.detail), wait)
    except Problem as refused:
        form.refused(refused)
        return _page(request, form)
    said = _(
        "You are in, with the new password. Sign in anew on your phones: what they have not "
        "sent yet is still on them, and goes then."
    )
    return way_in(request, person, onward=reverse("desk:home"), said=said)


def _recovered(request: HttpRequest, form: RecoverForm) -> Person:
    """Raises Problem."""
    address = address_of(request)
    place = Tally(Door.CODE, address) if address else None
    if place:
        attempt_begin(place)
    typed = form.cleaned_data
    person = recovery_use(name=typed["username"], code=typed["code"], password=typed["password"])
    attempt_fitted(give_back=place)
    return person


def _page(request: HttpRequest, form: RecoverForm, *, wait: str = "") -> HttpResponse:
    shown = {"form": form, "wait": wait, "mail": bool(settings.EMAIL_URL)}
    return render(request, "recover.html", shown)
