"""The secretary's page of the addresses that are told what the club publishes."""

from __future__ import annotations

from django.contrib import messages
from django.contrib.auth.decorators import login_required
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils.translation import gettext as _
from django.views.decorators.cache import never_cache

from matches.models import Club
from matches.problems import Code, Problem
from matches.reads.access import club_for_secretary
from matches.reads.webhooks import webhook_secret, webhooks_of
from matches.writes.webhooks import (
    delivery_again,
    webhook_add,
    webhook_remove,
    webhook_switch_on,
    webhook_try,
)
from web.methods import shown_and_sent
from web.people import person_of

from .field_form import FieldForm, form_sent
from .form_act import refusal_say
from .form_numbers import key_read, number_or_none


@never_cache
@login_required
@shown_and_sent
def webhooks(request: HttpRequest, slug: str) -> HttpResponse:
    """The addresses, what was sent to each, and its buttons. A new one's secret is shown in the
    answer to its form and never again."""
    club = club_for_secretary(person_of(request), slug=slug)
    form, secret = FieldForm({"address": ""}), ""
    if request.method == "POST":
        if request.POST.get("do") != "add":
            return _acted(request, club)
        form = form_sent(request.POST, names=("address",))
        secret = _add(request, club, form)
    return render(
        request,
        "desk/webhooks.html",
        {
            "club": club,
            "form": form,
            "secret": secret,
            "webhooks": list(webhooks_of(club)),
        },
    )


def _add(request: HttpRequest, club: Club, form: FieldForm) -> str:
    """The secret of the new address; empty where it was refused, and the form holds why."""
    try:
        made = webhook_add(person_of(request), club=club, address=form.values["address"])
    except Problem as refused:
        form.faults_place(refused.faults)
        if not refused.faults:
            refusal_say(request, refused)
        return ""
    form.values["address"] = ""
    return webhook_secret(made)


def _acted(request: HttpRequest, club: Club) -> HttpResponse:
    """Do what was pressed, and go back to the page."""
    try:
        messages.success(request, _act(request, club))
    except Problem as refused:
        refusal_say(request, refused)
    return redirect("desk:webhooks", club.slug)


def _act(request: HttpRequest, club: Club) -> str:
    person, sent = person_of(request), request.POST
    chosen = number_or_none(sent.get("webhook", "")) or 0
    match sent.get("do", ""):
        case "try":
            webhook_try(person, club=club, webhook_id=chosen)
            return _("A message is on its way. Load this page again to see what came of it.")
        case "on":
            webhook_switch_on(person, club=club, webhook_id=chosen)
            return _("It is told again, of what waited too.")
        case "remove":
            webhook_remove(person, club=club, webhook_id=chosen)
            return _("It is told no more.")
        case "again":
            delivery_again(person, club=club, delivery_id=key_read(sent.get("delivery", "")))
            return _("It is sent once more.")
    raise Problem(Code.BAD_INPUT, _("Press one of the buttons below."))
