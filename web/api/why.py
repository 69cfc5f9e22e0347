"""Why a team's order is as it is, in the API."""

from __future__ import annotations

from typing import Any

from django.utils.translation import gettext as _
from drf_spectacular.utils import OpenApiParameter, extend_schema
from rest_framework.request import Request
from rest_framework.response import Response
from rest_framework.views import APIView

from bait.reads.explanations import ExplanationSeen, explanation_seen
from bait.reads.orders import order_of, team_and_match
from bait.writes.explanations import explanation_ask
from matches.problems import Code, Problem
from web.people import person_of
from web.problem_shapes import PROBLEMS
from web.work_words import progress_words

from .bait import REFUSALS
from .why_shapes import OrderWhyShape

VERSION = OpenApiParameter(
    "version", int, description="A version's number; without it, the current one."
)


class TeamOrderWhy(APIView):
    @extend_schema(
        operation_id="order_why_get",
        parameters=[VERSION],
        responses={200: OrderWhyShape, **PROBLEMS},
    )
    def get(self, request: Request, team_id: int, match_id: int) -> Response:
        """The reasons of a version of a team's order, and how far work on them is."""
        seen = _seen(request, team_id=team_id, match_id=match_id)
        return Response(_body(seen), headers={"Cache-Control": "no-store"})

    @extend_schema(
        operation_id="order_why_post",
        parameters=[VERSION],
        request=None,
        responses={202: OrderWhyShape, **REFUSALS},
    )
    def post(self, request: Request, team_id: int, match_id: int) -> Response:
        """Ask for the reasons, or for those still left out. Asking while it waits asks once."""
        seen = _seen(request, team_id=team_id, match_id=match_id)
        if seen is None:
            raise Problem(Code.NOT_FOUND, _("Nothing is ordered yet: work out the order first."))
        explanation_ask(person_of(request), version=seen.version)
        return Response(_body(_seen(request, team_id=team_id, match_id=match_id)), status=202)


def _seen(request: Request, *, team_id: int, match_id: int) -> ExplanationSeen | None:
    team, match = team_and_match(person_of(request), team_id=team_id, match_id=match_id)
    order = order_of(team, match=match)
    number = request.query_params.get("version", "")
    return explanation_seen(order, number=number) if order else None


def _body(seen: ExplanationSeen | None) -> dict[str, Any]:
    work = seen.work if seen else None
    return {
        "version": seen.version.number if seen else None,
        "state": work.state if work else "none",
        "percent": work.percent if work else 0,
        "progress": progress_words(work) if work else "",
        "problem": work.problem if work else "",
        "explanation": seen.explanation.answer if seen and seen.explanation else None,
    }
