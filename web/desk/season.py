"""A team's season: what was fed beside what was weighed, for its captain and members."""

from __future__ import annotations

from dataclasses import dataclass

from django.contrib.auth.decorators import login_required
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render

from bait.reads.season_seen import LEAST_ANGLERS, LeftOutDay, SeasonSeen, season_seen
from bait.writes.season import season_ask
from matches.models import WorkState
from web.methods import shown_and_sent
from web.people import person_of
from web.season_picture import season_picture
from web.season_words import (
    column_name,
    effect_said,
    stands_on,
    verdict_said,
    why_said,
)
from web.work_words import progress_words


@dataclass(frozen=True, slots=True)
class EffectRow:
    """One thing fed in words; `found` chooses its mark."""

    name: str
    found: str
    said: str
    stands: str


@dataclass(frozen=True, slots=True)
class DayRow:
    day: LeftOutDay
    why: str


@login_required
@shown_and_sent
def season(request: HttpRequest, team_id: int) -> HttpResponse:
    """Ask for it, watch it come, read it."""
    person = person_of(request)
    if request.method == "POST":
        season_ask(person, team_id=team_id)
        return redirect("desk:season", team_id)
    seen = season_seen(person, team_id=team_id)
    work, answer = seen.work, seen.answer
    return render(
        request,
        "desk/season.html",
        {
            "club": seen.team.club,
            "team": seen.team,
            "seen": seen,
            "work": work,
            "working": work is not None and work.state in (WorkState.WAITING, WorkState.RUNNING),
            "failed": work is not None and work.state == WorkState.FAILED,
            "words": progress_words(work) if work else "",
            "verdict": verdict_said(answer.answer, effects=seen.effects) if answer else "",
            "picture": season_picture(seen.effects, names=seen.names),
            "rows": _rows(seen),
            "days": [DayRow(day, why_said(day.why)) for day in seen.left_out],
            "reasons": [(why_said(why), count) for why, count in seen.reasons.items()],
            "least_anglers": LEAST_ANGLERS,
        },
    )


def _rows(seen: SeasonSeen) -> list[EffectRow]:
    """What stands out first, then what is unsure, then what nothing is said of."""
    order = ("more", "less", "unsure")
    rows = [
        EffectRow(
            column_name(effect, names=seen.names),
            effect["found"],
            effect_said(effect, names=seen.names),
            stands_on(effect),
        )
        for effect in seen.effects
    ]
    return sorted(rows, key=lambda row: order.index(row.found) if row.found in order else 3)
