"""Baits, shops, a member's own plan and a team's order in the API."""

from __future__ import annotations

from typing import Any
from uuid import UUID

from drf_spectacular.utils import extend_schema
from rest_framework.request import Request
from rest_framework.response import Response
from rest_framework.views import APIView

from bait.reads.orders import team_and_match, work_seen
from bait.reads.plan_shown import plan_shown
from bait.reads.plans import own_entry_of
from bait.reads.shops import baits_seen, shops_seen
from bait.writes.orders import order_ask
from bait.writes.plan_content import plan_content_parse
from bait.writes.plans import plan_save
from web.people import person_of
from web.problem_shapes import PROBLEMS, ProblemShape

from . import bait_bodies as bodies
from . import bait_shapes as shapes
from .strict_json import StrictJSONParser

REFUSALS: dict[int, Any] = {**PROBLEMS, 400: ProblemShape, 409: ProblemShape}


class BaitList(APIView):
    @extend_schema(
        operation_id="baits_list", responses={200: shapes.BaitListShape, 401: ProblemShape}
    )
    def get(self, request: Request) -> Response:
        """The baits of your clubs."""
        found = baits_seen(person_of(request))
        return Response({"baits": [bodies.bait_body(bait) for bait in found]})


class ShopList(APIView):
    @extend_schema(
        operation_id="shops_list", responses={200: shapes.ShopListShape, 401: ProblemShape}
    )
    def get(self, request: Request) -> Response:
        """The shops of your clubs with their packs and price breaks."""
        found = shops_seen(person_of(request))
        return Response({"shops": [bodies.shop_body(shop) for shop in found]})


class OwnPlan(APIView):
    parser_classes = [StrictJSONParser]

    @extend_schema(operation_id="plan_get", responses={200: shapes.OwnPlanShape, **PROBLEMS})
    def get(self, request: Request, match_id: int) -> Response:
        """Your own plan for a match, what it comes to, and what it uses of the limits."""
        entry = own_entry_of(person_of(request), match_id=match_id)
        return Response(bodies.own_plan_body(plan_shown(entry, match=entry.match)))

    @extend_schema(
        operation_id="plan_put",
        request=shapes.PlanShape,
        responses={200: shapes.OwnPlanShape, **REFUSALS},
    )
    def put(self, request: Request, match_id: int) -> Response:
        """Save your own plan whole. A plan over the limits is saved; `limits` says so."""
        person = person_of(request)
        entry = own_entry_of(person, match_id=match_id)
        plan_save(person, entry=entry, content=plan_content_parse(request.data))
        return Response(bodies.own_plan_body(plan_shown(entry, match=entry.match)))


class TeamOrder(APIView):
    @extend_schema(operation_id="order_get", responses={200: shapes.OrderShape, **PROBLEMS})
    def get(self, request: Request, team_id: int, match_id: int) -> Response:
        """A team's order for a match: the current version, its shares, and the latest work."""
        team, match = team_and_match(person_of(request), team_id=team_id, match_id=match_id)
        return Response(bodies.order_body(team, match=match))


class TeamOrderWork(APIView):
    @extend_schema(
        operation_id="order_work_post",
        request=None,
        responses={202: shapes.WorkShape, **REFUSALS},
    )
    def post(self, request: Request, team_id: int, match_id: int) -> Response:
        """Ask for the order to be worked out. Asking again while it waits asks once."""
        person = person_of(request)
        team, match = team_and_match(person, team_id=team_id, match_id=match_id)
        _order, work = order_ask(person, team=team, match=match)
        return Response(bodies.work_body(work), status=202)


class Work(APIView):
    @extend_schema(operation_id="work_get", responses={200: shapes.WorkShape, **PROBLEMS})
    def get(self, request: Request, work_id: UUID) -> Response:
        """How far work for one of your teams' orders is."""
        work = work_seen(person_of(request), work_id=work_id)
        return Response(bodies.work_body(work), headers={"Cache-Control": "no-store"})
