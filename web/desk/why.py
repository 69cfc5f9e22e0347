"""The captain's page of reasons: ask for them, watch them come, read them."""

from __future__ import annotations

from django.contrib.auth.decorators import login_required
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.utils.translation import gettext as _

from bait.reads.explanations import ExplanationSeen, explanation_seen, names_of
from bait.reads.orders import order_of, team_and_match
from bait.writes.explanations import explanation_ask
from matches.models import Match, Team, WorkState
from matches.problems import Code, Problem
from web.methods import shown_and_sent
from web.people import person_of
from web.work_words import progress_words

from .why_shown import why_shown


@login_required
@shown_and_sent
def why(request: HttpRequest, team_id: int, match_id: int) -> HttpResponse:
    """Why a version of the team's order is as it is, and what else could be done."""
    person = person_of(request)
    team, match = team_and_match(person, team_id=team_id, match_id=match_id)
    order = order_of(team, match=match)
    number = (request.POST if request.method == "POST" else request.GET).get("version", "")
    seen = explanation_seen(order, number=number) if order else None
    if request.method == "POST":
        if seen is None:
            raise Problem(Code.NOT_FOUND, _("Nothing is ordered yet: work out the order first."))
        explanation_ask(person, version=seen.version)
        address = reverse("desk:why", args=(team_id, match_id))
        return redirect(f"{address}?version={seen.version.number}")
    return _page(request, team, match=match, seen=seen)


def _page(
    request: HttpRequest, team: Team, *, match: Match, seen: ExplanationSeen | None
) -> HttpResponse:
    work = seen.work if seen else None
    found = seen.explanation if seen else None
    return render(
        request,
        "desk/why.html",
        {
            "here": "why",
            "club": match.club,
            "currency": match.club.currency,
            "team": team,
            "match": match,
            "order": seen.order if seen else None,
            "version": seen.version if seen else None,
            "current": seen.order.current if seen else None,
            "work": work,
            "working": work is not None and work.state in (WorkState.WAITING, WorkState.RUNNING),
            "failed": work is not None and work.state == WorkState.FAILED,
            "words": progress_words(work) if work else "",
            "why": why_shown(found.answer, names=names_of(seen.version), match=match)
            if seen and found
            else None,
        },
    )
