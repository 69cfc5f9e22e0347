"""A team's season in the API."""

from __future__ import annotations

from typing import Any

from drf_spectacular.utils import extend_schema
from rest_framework.request import Request
from rest_framework.response import Response
from rest_framework.views import APIView

from bait.reads.season_seen import SeasonSeen, season_seen
from bait.writes.season import season_ask
from web.people import person_of
from web.problem_shapes import PROBLEMS
from web.templatetags.shown import member
from web.work_words import progress_words

from .season_shapes import SeasonShape


class TeamSeason(APIView):
    @extend_schema(operation_id="season_get", responses={200: SeasonShape, **PROBLEMS})
    def get(self, request: Request, team_id: int) -> Response:
        """How what a team fed went with what it weighed, and how far work on it is."""
        seen = season_seen(person_of(request), team_id=team_id)
        return Response(_body(seen), headers={"Cache-Control": "no-store"})

    @extend_schema(
        operation_id="season_post", request=None, responses={202: SeasonShape, **PROBLEMS}
    )
    def post(self, request: Request, team_id: int) -> Response:
        """Ask for it to be worked out. Asking while it waits asks once."""
        person = person_of(request)
        season_ask(person, team_id=team_id)
        return Response(_body(season_seen(person, team_id=team_id)), status=202)


def _body(seen: SeasonSeen) -> dict[str, Any]:
    work, answer = seen.work, seen.answer
    return {
        "team": seen.team.pk,
        "state": work.state if work else "none",
        "percent": work.percent if work else 0,
        "progress": progress_words(work) if work else "",
        "problem": work.problem if work else "",
        "read_at": answer.read_at if answer else None,
        "newer": seen.newer,
        "season": _season(seen, body=answer.answer) if answer else None,
    }


def _season(seen: SeasonSeen, *, body: dict[str, Any]) -> dict[str, Any]:
    return {
        **{name: body[name] for name in ("verdict", "matches", "days", "anglers")},
        "effects": list(seen.effects),
        "kept_back": seen.kept_back,
        "reasons": [{"why": why, "days": days} for why, days in seen.reasons.items()],
        "left_out": [
            {"match": day.match.pk, "angler": member(day.angler), "why": day.why}
            for day in seen.left_out
        ],
    }
