"""A match's day: planning one, changing when and where, calling it off and taking that back."""

from __future__ import annotations

from collections.abc import Mapping

from django.contrib import messages
from django.contrib.auth.decorators import login_required
from django.db import transaction
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.utils import timezone
from django.utils.translation import gettext as _

from bait.writes.limits import limits_take_over
from matches.models import Club, Match, RiverLevel
from matches.problems import Code, Problem
from matches.reads import access
from matches.reads.signals import start_given
from matches.reads.venues import venues_of
from matches.reckon.errors import BadInput
from matches.times import coming_saturday
from matches.writes.match_content import TERMS, terms_parse, terms_typed
from matches.writes.match_river import match_river_set, river_parse, river_typed
from matches.writes.matches import (
    MatchChanged,
    match_add,
    match_call_back,
    match_call_off,
    match_change,
    match_end_shift,
)
from web.methods import shown_and_sent
from web.people import person_of

from .field_form import FieldForm, form_sent, mark_shown
from .undo import Done, done_say

#: Where a match planned from nothing starts: five hours from ten, the draw an hour and a half
#: before, and half an hour to object (common practice, no source).
FIRST = {
    "draw_at": "08:30",
    "start_at": "10:00",
    "end_at": "15:00",
    "last_call_min": "5",
    "objection_min": "30",
}
EARLIER_SHOWN = 60


@login_required
@shown_and_sent
def match_new(request: HttpRequest, slug: str) -> HttpResponse:
    """Plan a match, from nothing or from an earlier one with its settings."""
    person = person_of(request)
    club = access.club_for_secretary(person, slug=slug)
    earlier = list(access.matches_of(person).filter(club=club)[:EARLIER_SHOWN])
    asked = request.POST.get("like", request.GET.get("like", ""))
    like = next((m for m in earlier if str(m.pk) == asked), None)
    form = _first_form(club, like)
    if request.method == "POST":
        form = form_sent(request.POST, names=TERMS)
        try:
            with transaction.atomic():
                terms = terms_parse(form.values, venues=club.venues.all())
                made = match_add(person, club=club, terms=terms, like=like)
                if like is not None:
                    limits_take_over(person, match=made, like=like)
        except BadInput as bad:
            _faults_place(request, form, bad)
        else:
            if not earlier:
                messages.success(request, _("%(match)s is planned.") % {"match": made.name})
                return redirect("desk:home")
            messages.success(
                request, _("%(match)s is planned. See how it is scored.") % {"match": made.name}
            )
            return redirect("desk:scoring", made.pk)
    return _page(request, "match_new", club, form=form, earlier=earlier, like=like)


def _first_form(club: Club, like: Match | None) -> FieldForm:
    """The fields before anything is typed; of an earlier match's all but day and cut-off. The day
    is the coming Saturday, the venue the one with pegs where there is one such."""
    start = terms_typed(like) if like else {**FIRST, "venue": _only_venue(club)}
    day = coming_saturday(timezone.localdate())
    return FieldForm({**dict.fromkeys(TERMS, ""), **start, "date": day.isoformat(), "order_by": ""})


def _only_venue(club: Club) -> str:
    pegged = [venue for venue in venues_of(club) if venue.pegs_now]  # type: ignore[attr-defined]
    return str(pegged[0].pk) if len(pegged) == 1 else ""


@login_required
@shown_and_sent
def settings(request: HttpRequest, match_id: int) -> HttpResponse:
    """When and where a match is, on what terms one enters, whether it is fished at all, and how the
    river ran."""
    person = person_of(request)
    match = access.match_for_secretary(person, match_id=match_id)
    form, off = FieldForm(terms_typed(match)), FieldForm({"reason": match.called_off})
    river = FieldForm(river_typed(match))
    if request.method == "POST":
        do = request.POST.get("do", "save")
        typed = {"call-off": off, "river": river}.get(do, form)
        typed.values.update(form_sent(request.POST, names=list(typed.values)).values)
        try:
            _act(request, match, do=do, typed=typed)
        except BadInput as bad:
            _faults_place(request, typed, bad)
        except Problem as problem:
            if problem.code is not Code.CONFLICT:
                raise
            messages.error(request, problem.detail)
            return redirect("desk:settings", match_id)
        else:
            return redirect("desk:settings", match_id)
    return _page(
        request,
        "match_settings",
        match.club,
        match=match,
        form=form,
        off=off,
        mark=mark_shown(_sent(request, "save"), stands=terms_typed(match), told=form.told),
        river=river,
        river_mark=mark_shown(_sent(request, "river"), stands=river_typed(match), told=river.told),
        levels=[("", _("not said")), *RiverLevel.choices],
        given=start_given(match),
    )


def _sent(request: HttpRequest, do: str) -> Mapping[str, str]:
    """What was sent, where it was sent to do this."""
    return request.POST if request.POST.get("do", "save") == do else {}


def _act(request: HttpRequest, match: Match, *, do: str, typed: FieldForm) -> None:
    """Do what was pressed, and say so. Raises BadInput, Problem."""
    person = person_of(request)
    if do == "call-off":
        match_call_off(person, match=match, reason=typed.values["reason"])
        said = _("The match is called off. Board, desk and phones say so.")
        here = reverse("desk:settings", args=[match.pk])
        done_say(request, Done(said, here, {"do": "call-back"}))
    elif do == "call-back":
        match_call_back(person, match=match)
        messages.success(request, _("Taken back: the match is fished."))
    elif do == "river":
        river, mark = river_parse(typed.values), request.POST.get("mark", "")
        changed = match_river_set(person, match=match, river=river, mark=mark)
        said = _("Saved.") if changed else _("Nothing differed: nothing is changed.")
        messages.success(request, said)
    elif do == "shift":
        moved = match_end_shift(person, match=match)
        stand = terms_typed(moved)
        messages.success(
            request,
            _("The start stands at %(start)s and the end at %(end)s. Phones say so with signal.")
            % {"start": stand["start_at"], "end": stand["end_at"]},
        )
    else:
        terms = terms_parse(typed.values, venues=match.club.venues.all())
        mark = request.POST.get("mark", "")
        _changed_say(request, match_change(person, match=match, terms=terms, mark=mark))


def _changed_say(request: HttpRequest, changed: MatchChanged) -> None:
    if not changed.fields:
        messages.info(request, _("Nothing differed: nothing is changed."))
        return
    messages.success(request, _("Saved."))
    if changed.times:
        messages.info(request, _("The times changed: each phone says so as soon as it has signal."))
    if changed.pegs_emptied:
        messages.warning(
            request, _("Another venue: its pegs are others, so the sections are empty now.")
        )
    for entry in changed.taken_in:
        messages.info(
            request,
            _("%(name)s had waited longest and has a place now.") % {"name": entry.angler.name},
        )


def _faults_place(request: HttpRequest, form: FieldForm, bad: BadInput) -> None:
    form.faults_place(bad.faults)
    messages.error(request, _("Nothing is saved yet: mend what is marked, then save again."))


def _page(request: HttpRequest, name: str, club: Club, **context: object) -> HttpResponse:
    return render(
        request,
        f"desk/{name}.html",
        {
            "club": club,
            "currency": club.currency,
            "venues": list(club.venues.all()),
            **context,
        },
    )
