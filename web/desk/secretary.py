"""The page of one match: where it stands, and who is entered."""

from __future__ import annotations

from django.contrib.auth.decorators import login_required
from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.views.decorators.http import require_safe

from matches.models import Match, MatchState
from matches.reads import access, board
from matches.reads.desk import match_entries
from matches.reads.results import match_result
from web.people import person_of


@login_required
@require_safe
def match(request: HttpRequest, match_id: int) -> HttpResponse:
    """One match: where it stands, who is entered, and what to do next."""
    person = person_of(request)
    found = access.match_seen(person, match_id=match_id)
    result = match_result(found)
    return _page(
        request,
        "match",
        found,
        entries=list(match_entries(found)),
        runs=access.is_secretary(person, club=found.club),
        weighs=access.is_weigher(person, match=found),
        own=access.own_entry(person, match=found),
        teams=access.captained_teams(person).filter(club=found.club),
        bulletins=board.bulletins_of(found),
        draws=list(found.draws.order_by("number")),
        result=result,
        ready=found.state == MatchState.WEIGHING and not (result.to_weigh or result.disagreements),
    )


def _page(request: HttpRequest, name: str, match: Match, **context: object) -> HttpResponse:
    return render(request, f"desk/{name}.html", {"match": match, "club": match.club, **context})
