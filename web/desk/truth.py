"""What became of the bait of a match, and what bait cost over the season."""

from __future__ import annotations

from django.contrib.auth.decorators import login_required
from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.utils import timezone
from django.views.decorators.http import require_safe

from bait.reads.bait_cost import bait_cost
from bait.reads.truth import bait_truth
from web.people import person_of
from web.truth_words import (
    day_said,
    missing_said,
    per_kilo_said,
    per_point_said,
    row_said,
    team_said,
)


@login_required
@require_safe
def truth(request: HttpRequest, team_id: int, match_id: int) -> HttpResponse:
    """Planned, bought, fed and left over, bait by bait."""
    found = bait_truth(person_of(request), team_id=team_id, match_id=match_id)
    return render(
        request,
        "desk/truth.html",
        {
            "here": "truth",
            "club": found.match.club,
            "team": found.left.seen.team,
            "match": found.match,
            "captain": found.left.seen.captain,
            "ordered": found.left.ordered,
            "baits": [team_said(row) for row in found.team],
            "parts": [
                (
                    part,
                    day_said(part, truth=found),
                    missing_said(part),
                    [row_said(row) for row in part.rows],
                )
                for part in found.parts
            ],
        },
    )


@login_required
@require_safe
def cost(request: HttpRequest, team_id: int) -> HttpResponse:
    """What bait cost by the kilo and by the section point, over the season."""
    found = bait_cost(person_of(request), team_id=team_id, today=timezone.localdate())
    club = found.seen.team.club
    lines = [(member.angler, member.season) for member in found.members]
    return render(
        request,
        "desk/bait_cost.html",
        {
            "club": club,
            "currency": club.currency,
            "team": found.seen.team,
            "found": found,
            "whole": found.team
            and (
                found.team,
                per_kilo_said(found.team, currency=club.currency),
                per_point_said(found.team, currency=club.currency),
            ),
            "members": [
                (
                    angler,
                    season,
                    per_kilo_said(season, currency=club.currency),
                    per_point_said(season, currency=club.currency),
                )
                for angler, season in lines
            ],
            "matches": [
                (
                    match,
                    season,
                    per_kilo_said(season, currency=club.currency),
                    per_point_said(season, currency=club.currency),
                )
                for match in found.matches
                if (season := found.team_rows.get(match.pk))
            ],
        },
    )
