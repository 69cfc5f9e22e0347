"""One plan for the whole team: chosen once, given to whom it is ticked for, with a way back."""

from __future__ import annotations

from typing import Any
from uuid import uuid4

from django.contrib import messages
from django.contrib.auth.decorators import login_required
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils.text import get_text_list
from django.utils.translation import gettext as _

from bait.reads.orders import order_met
from bait.reads.plan_giving import giving_sources, giving_takers
from bait.reads.plan_shown import team_plans
from bait.writes.plan_giving import Given, PlansGiven, plans_give, plans_take_back
from matches.models import Match, Team
from matches.problems import Code, Problem
from matches.reckon.decimals import digits_read
from web.methods import shown_and_sent
from web.people import person_of

from .undo import Done, done_say

#: Where the session holds the plans that stood before the last giving, so that they may come back.
BEFORE = "plans_before"


@login_required
@shown_and_sent
def plan_giving(request: HttpRequest, team_id: int, match_id: int) -> HttpResponse:
    """Which plan, and who gets it. Whose own plan would be replaced is ticked by hand only."""
    team, match, order = order_met(person_of(request), team_id=team_id, match_id=match_id)
    if request.method == "POST":
        if request.POST.get("do") == "take-back":
            _take_back(request, team=team, match=match)
            return redirect("desk:team", team.pk, match.pk)
        if _give(request, team=team, match=match):
            if order is not None and order.placed_id is not None:
                messages.warning(
                    request, _("The bait order is placed already: accept this as a late change.")
                )
            return redirect("desk:team", team.pk, match.pk)
    plans = team_plans(team, match=match)
    context = {
        "club": match.club,
        "team": team,
        "match": match,
        "takers": giving_takers(plans),
        "sources": giving_sources(team, plans=plans),
        "chosen": request.POST.get("source", ""),
    }
    return render(request, "desk/plan_giving.html", context)


def _give(request: HttpRequest, *, team: Team, match: Match) -> bool:
    """Whether anybody was given the plan; if not, the page says why."""
    seen = _ticked(request.POST.getlist("to"))
    if not seen:
        messages.error(request, _("Nobody is ticked: tick who gets the plan."))
        return False
    key = request.POST.get("source", "")
    try:
        done = plans_give(person_of(request), team=team, match=match, key=key, seen=seen)
    except Problem as problem:
        if problem.code is not Code.NOT_FOUND:
            raise
        messages.error(request, problem.detail)
        return False
    if done.given:
        mark = _keep(request, done)
        at, fields = request.path, {"do": "take-back", "of": mark}
        said = _("The plan is given: %(names)s.") % {"names": _names(done)}
        done_say(request, Done(said, at, fields))
    else:
        messages.error(request, _("Nobody was given the plan."))
    _left_out_say(request, done)
    return bool(done.given)


def _ticked(values: list[str]) -> dict[int, int]:
    """The version that was looked at, by entry, of "entry:version"."""
    pairs = (value.partition(":") for value in values)
    read = ((digits_read(entry), digits_read(version)) for entry, _colon, version in pairs)
    return {entry: version for entry, version in read if entry is not None and version is not None}


def _names(done: PlansGiven) -> str:
    return get_text_list([one.name for one in done.given], _("and"))


def _keep(request: HttpRequest, done: PlansGiven) -> str:
    """Keep what stood before; the mark of it, so that Undo takes back this giving and no other."""
    mark = uuid4().hex
    kept: list[dict[str, Any]] = [
        {"entry_id": g.entry_id, "name": g.name, "version": g.version, "before": g.before}
        for g in done.given
    ]
    request.session[BEFORE] = {"mark": mark, "given": kept}
    return mark


def _take_back(request: HttpRequest, *, team: Team, match: Match) -> None:
    before = request.session.get(BEFORE)
    if before is None or before["mark"] != request.POST.get("of"):
        return
    given = [Given(**one) for one in before["given"]]
    done = plans_take_back(person_of(request), team=team, match=match, given=given)
    del request.session[BEFORE]
    if done.given:
        said = _("The plans of before are back: %(names)s.") % {"names": _names(done)}
        messages.success(request, said)
    _left_out_say(request, done)


def _left_out_say(request: HttpRequest, done: PlansGiven) -> None:
    for name, why in done.left_out:
        words = _("Left out: %(name)s, %(why)s") % {"name": name, "why": why}
        messages.warning(request, words)
