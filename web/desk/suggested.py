"""The plan suggested for a match to come: every number with its reason, one tap to take it over."""

from __future__ import annotations

from typing import Any

from django.contrib.auth.decorators import login_required
from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.utils.translation import gettext as _
from django.views.decorators.http import require_safe

from bait.models import Plan
from bait.reads.plans import entry_for_plan, own_entry_of
from bait.reads.suggested import plan_suggested
from bait.writes.plan_content import NOTE_LONGEST
from matches.models import Entry, Person
from matches.problems import Code, Problem
from matches.reckon.decimals import decimal_read, point_typed
from web.people import person_of
from web.suggest_words import (
    celsius_text,
    flow_text,
    left_out_said,
    note_said,
    numbers_said,
    water_care,
)

from .form_numbers import whole_typed

#: What a river may be: 0 to 30 °C as the physics of water goes, and up to 3 m/s.
CELSIUS_TENTHS_MOST, CM_S_MOST = 300, 300


@login_required
@require_safe
def my_suggestion(request: HttpRequest, match_id: int) -> HttpResponse:
    """For one's own plan."""
    entry = own_entry_of(person_of(request), match_id=match_id)
    return _suggestion(request, entry=entry, own=True)


@login_required
@require_safe
def member_suggestion(request: HttpRequest, match_id: int, entry_id: int) -> HttpResponse:
    """For a member's plan, for their captain."""
    person = person_of(request)
    entry = entry_for_plan(person, match_id=match_id, entry_id=entry_id)
    return _suggestion(request, entry=entry, own=entry.angler.person_id == person.pk)


def suggested_content(person: Person, *, entry: Entry, water: str) -> dict[str, Any]:
    """The plan's content for a key's "84-30": tenths of a degree, centimetres a second; either is
    empty where it was not typed.

    Raises Problem NOT_FOUND for what is no such pair.
    """
    celsius, dash, speed = water.partition("-")
    tenths, cm_s = whole_typed(celsius), whole_typed(speed)
    known = dash and (tenths is not None or not celsius) and (cm_s is not None or not speed)
    if not known or (tenths or 0) > CELSIUS_TENTHS_MOST or (cm_s or 0) > CM_S_MOST:
        raise Problem(Code.NOT_FOUND, _("No such suggestion: open its page again."))
    found = plan_suggested(person, entry=entry, celsius_tenths=tenths, cm_s=cm_s)
    return {**found.content(), "note": note_said(found)[:NOTE_LONGEST]}


def scaled_typed(text: str, *, times: int, most: int) -> int | None:
    """A decimal as somebody typed it, "8,4" or "8.4", in whole parts; None for anything else."""
    value = decimal_read(point_typed(text))
    whole = None if value is None else round(value * times)
    return None if whole is None or not 0 <= whole <= most else whole


def _suggestion(request: HttpRequest, *, entry: Entry, own: bool) -> HttpResponse:
    typed = {key: request.GET.get(key, "").strip() for key in ("celsius", "speed")}
    tenths = scaled_typed(typed["celsius"], times=10, most=CELSIUS_TENTHS_MOST)
    cm_s = scaled_typed(typed["speed"], times=100, most=CM_S_MOST)
    found = plan_suggested(person_of(request), entry=entry, celsius_tenths=tenths, cm_s=cm_s)
    water = ("" if value is None else str(value) for value in (tenths, cm_s))
    plan = Plan.objects.filter(entry=entry).values_list("version", flat=True).first()
    return render(
        request,
        "desk/suggestion.html",
        {
            "club": entry.match.club,
            "match": entry.match,
            "entry": entry,
            "own": own,
            "version": plan or 0,
            "source": f"suggest-{'-'.join(water)}",
            "typed": typed,
            "celsius": celsius_text(found.ask.celsius_tenths.value),
            "speed": flow_text(found.ask.cm_s.value),
            "celsius_bad": bool(typed["celsius"]) and tenths is None,
            "speed_bad": bool(typed["speed"]) and cm_s is None,
            "numbers": numbers_said(found, own=own),
            "left_out": left_out_said(found),
            "note": note_said(found),
            "care": water_care(found),
            "plans": found.plans,
            "empty": not found.suggestion.stages,
        },
    )
