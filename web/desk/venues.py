"""A club's venues: where its matches are fished, and what is to be minded there."""

from __future__ import annotations

from django.contrib import messages
from django.contrib.auth.decorators import login_required
from django.db import transaction
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect
from django.urls import reverse
from django.utils.translation import gettext as _

from matches.models import Venue
from matches.problems import Code, Problem
from matches.reads.access import club_for_secretary
from matches.reads.venues import pegs_of, venue_of, venues_of
from matches.reckon.errors import BadInput
from matches.reckon.pegs_numbered import pegs_numbered
from matches.writes.pegs import pegs_import
from matches.writes.venues import timezones, venue_add, venue_change, venue_parse, venue_typed
from web.methods import shown_and_sent
from web.people import person_of

from .club_page import club_page
from .field_form import FieldForm, form_sent, mark_shown
from .form_act import form_act
from .strips import venue_strips

FIELDS = ("name", "water", "timezone", "cautions")
NEW = (*FIELDS, "pegs")


@login_required
@shown_and_sent
def venues(request: HttpRequest, slug: str) -> HttpResponse:
    """Every venue of the club, and a form for another."""
    person = person_of(request)
    club = club_for_secretary(person, slug=slug)
    form = FieldForm({**dict.fromkeys(NEW, ""), "timezone": "Europe/London"})
    if request.method == "POST":
        form = form_sent(request.POST, names=NEW)
        try:
            with transaction.atomic():
                pegs = pegs_numbered(form.values["pegs"])
                made = venue_add(person, club=club, content=venue_parse(form.values))
                if pegs:
                    pegs_import(person, venue=made, lines=pegs)
        except BadInput as bad:
            form.faults_place(bad.faults)
        else:
            said = _("%(venue)s is added.") if pegs else _("%(venue)s is added: give it its pegs.")
            messages.success(request, said % {"venue": made.name})
            return redirect("desk:venue", club.slug, made.pk)
    return club_page(request, "venues", club, venues=venues_of(club), form=form, zones=timezones())


@login_required
@shown_and_sent
def venue(request: HttpRequest, slug: str, venue_id: int) -> HttpResponse:
    """One venue: its pegs along the river and as a list, and what is said of it."""
    person = person_of(request)
    club = club_for_secretary(person, slug=slug)
    found = venue_of(club, venue_id=venue_id)
    form, number = FieldForm(venue_typed(found)), FieldForm({"pegs": ""})
    if request.method == "POST" and request.POST.get("do") == "number":
        number = form_sent(request.POST, names=("pegs",))
        here = reverse("desk:venue", args=[club.slug, found.pk])
        answer = form_act(
            request, number, lambda: _number(request, found, number), here=here, onward=here
        )
        if answer is not None:
            return answer
    elif request.method == "POST":
        form = form_sent(request.POST, names=FIELDS)
        try:
            mark = request.POST.get("mark", "")
            content = venue_parse(form.values)
            changed = venue_change(person, venue=found, content=content, mark=mark)
        except BadInput as bad:
            form.faults_place(bad.faults)
        else:
            said = _("Saved.") if changed else _("Nothing differed: nothing is changed.")
            messages.success(request, said)
            return redirect("desk:venue", club.slug, found.pk)
    pegs = list(pegs_of(found))
    fished = [peg for peg in pegs if not peg.retired]
    return club_page(
        request,
        "venue",
        club,
        venue=found,
        pegs=fished,
        retired=[peg for peg in pegs if peg.retired],
        strips=venue_strips(fished),
        form=form,
        number=number,
        mark=mark_shown(request.POST, stands=venue_typed(found), told=form.told),
        zones=timezones(),
    )


def _number(request: HttpRequest, venue: Venue, form: FieldForm) -> str:
    """Give a venue without pegs so many, numbered; what to say of it. Raises BadInput, Problem."""
    lines = pegs_numbered(form.values["pegs"])
    if not lines:
        return _("No number was written: nothing is changed.")
    if pegs_of(venue).exists():
        raise Problem(Code.CONFLICT, _("The venue has pegs by now: look at them below."))
    pegs_import(person_of(request), venue=venue, lines=lines)
    return _("The pegs are there: say of each what is known, when you like.")
