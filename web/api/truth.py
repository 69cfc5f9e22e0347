"""What became of the bait, what it cost, and the spare to take, in the API."""

from __future__ import annotations

from fractions import Fraction
from typing import Any

from django.utils import timezone
from django.utils.translation import gettext as _
from drf_spectacular.utils import extend_schema
from rest_framework.request import Request
from rest_framework.response import Response
from rest_framework.views import APIView

from bait.models import Bait
from bait.reads.bait_cost import bait_cost
from bait.reads.orders import team_and_match
from bait.reads.spare import spare_offered
from bait.reads.truth import TeamBait, TruthPart, TruthRow, bait_truth
from bait.reckon.bait_cost import SeasonCost
from bait.reckon.plans import amount_text
from bait.reckon.truth import PartlyKnown
from bait.writes.plan_spare import plans_spare_set, spares_mark
from matches.problems import Code, Problem
from matches.reckon.errors import BadInput, Fault
from matches.reckon.money import pence_format
from web.people import person_of
from web.problem_shapes import PROBLEMS
from web.truth_words import spare_said

from . import truth_shapes as shapes
from .bait import REFUSALS
from .strict_json import StrictJSONParser


class BaitTruth(APIView):
    @extend_schema(
        operation_id="bait_truth_get", responses={200: shapes.BaitTruthShape, **PROBLEMS}
    )
    def get(self, request: Request, team_id: int, match_id: int) -> Response:
        """Planned, bought, fed and left over: the team's for its captain, your own bag for you."""
        found = bait_truth(person_of(request), team_id=team_id, match_id=match_id)
        return Response(
            {
                "ordered": found.left.ordered,
                "team": [_team_body(row) for row in found.team],
                "bags": [_bag_body(part) for part in found.parts],
            }
        )


class BaitCost(APIView):
    @extend_schema(operation_id="bait_cost_get", responses={200: shapes.TeamCostShape, **PROBLEMS})
    def get(self, request: Request, team_id: int) -> Response:
        """What bait cost in the last 365 days, by the kilo and by the section point."""
        found = bait_cost(person_of(request), team_id=team_id, today=timezone.localdate())
        return Response(
            {
                "since": found.since,
                "until": found.until,
                "team": None if found.team is None else _cost_body(found.team),
                "members": [
                    {"member": member.angler.name, **_cost_body(member.season)}
                    for member in found.members
                ],
            }
        )


class OrderSpare(APIView):
    parser_classes = [StrictJSONParser]

    @extend_schema(
        operation_id="order_spare_get",
        responses={200: shapes.SpareShape, **REFUSALS},
    )
    def get(self, request: Request, team_id: int, match_id: int) -> Response:
        """The spare suggested for the plans of a team's order, and why."""
        team, match = team_and_match(person_of(request), team_id=team_id, match_id=match_id)
        offered = spare_offered(team, match=match)
        if offered is None:
            raise Problem(Code.CONFLICT, _("Nobody of the team has a plan yet."))
        spare = offered.spare
        return Response(
            {
                "percent": spare.percent,
                "learnt": spare.learnt,
                "matches": spare.matches,
                "bags": spare.bags,
                "enough": spare.enough,
                "emptied": spare.emptied,
                "why": spare_said(spare),
                "mark": spares_mark(offered.now),
            }
        )

    @extend_schema(
        operation_id="order_spare_put",
        request=shapes.SpareTakeShape,
        responses={200: shapes.SpareTakenShape, **REFUSALS},
    )
    def put(self, request: Request, team_id: int, match_id: int) -> Response:
        """Give every plan of the team this spare; the order is not worked out by it."""
        person = person_of(request)
        team, match = team_and_match(person, team_id=team_id, match_id=match_id)
        sent = request.data if isinstance(request.data, dict) else {}
        percent, mark = sent.get("percent"), sent.get("mark", "")
        if type(percent) is not int:
            raise BadInput(Fault("/percent", _("Take 0 to 100 percent spare.")))
        if type(mark) is not str:
            raise BadInput(Fault("/mark", _("Send the mark as you got it, or leave it out.")))
        changed = plans_spare_set(person, team=team, match=match, percent=percent, mark=mark)
        return Response({"changed": changed})


def _bag_body(part: TruthPart) -> dict[str, Any]:
    watched = part.watched
    return {
        "member": part.angler.name,
        "feed_notes": part.fed_notes,
        "logged_seconds": None if watched is None else [watched.start, watched.end],
        "baits": [_row_body(row) for row in part.rows],
    }


def _row_body(row: TruthRow) -> dict[str, Any]:
    known = row.known
    return {
        **_bait_body(row.bait),
        "planned": _amount(known.planned),
        "had": _amount(known.had),
        "unnoted": _amount(known.unnoted),
        "fed": _amount(known.fed),
        "left": _amount(known.left),
        "missing": _amount(known.gap),
        "adds_up": known.adds_up,
    }


def _team_body(row: TeamBait) -> dict[str, Any]:
    return {
        **_bait_body(row.bait),
        "planned": _partly(row.planned),
        "bought": [
            {"shop": b.shop, "packs": b.packs, "amount": amount_text(b.amount), "unit": b.unit}
            for b in row.bought
        ],
        "larder": _amount(row.larder),
        "had": _amount(row.had),
        "fed": _partly(row.fed),
        "left": _partly(row.left),
    }


def _bait_body(bait: Bait) -> dict[str, str]:
    return {"bait": bait.key, "name": bait.name, "unit": bait.unit}


def _partly(sums: PartlyKnown) -> dict[str, Any]:
    return {"amount": _amount(sums.amount), "known": sums.known, "of": sums.of}


def _amount(value: Fraction | None) -> str | None:
    if value is None:
        return None
    return amount_text(value) if value >= 0 else f"-{amount_text(-value)}"


def _cost_body(cost: SeasonCost) -> dict[str, Any]:
    return {
        "matches": cost.matches,
        "cost": pence_format(cost.pence),
        "grams": round(cost.grams),
        "points": amount_text(cost.points),
        "per_kilo": None if cost.per_kilo is None else pence_format(round(cost.per_kilo)),
        "per_point": None if cost.per_point is None else pence_format(round(cost.per_point)),
    }
