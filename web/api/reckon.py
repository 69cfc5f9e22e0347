"""The open calculators: no account, nothing kept, the same functions as the saved objects use."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any, Final, TypeVar

from django.conf import settings
from drf_spectacular.utils import OpenApiExample, extend_schema
from rest_framework.permissions import AllowAny
from rest_framework.request import Request
from rest_framework.response import Response
from rest_framework.throttling import ScopedRateThrottle
from rest_framework.views import APIView

from bait.reckon.lines import (
    LINES_EXAMPLE,
    LINES_EXAMPLE_ANSWER,
    lines_parse,
    lines_work_out,
)
from bait.reckon.mix import MIX_EXAMPLE, MIX_EXAMPLE_ANSWER, mix_parse, mix_work_out
from bait.reckon.order import (
    ORDER_EXAMPLE,
    ORDER_EXAMPLE_ANSWER,
    order_parse,
    order_work_out,
)
from bait.reckon.placement import (
    PLACEMENT_EXAMPLE,
    PLACEMENT_EXAMPLE_ANSWER,
    placement_parse,
    placement_work_out,
)
from matches.reckon.draw import DRAW_EXAMPLE, DRAW_EXAMPLE_ANSWER, draw_parse, draw_work_out
from matches.reckon.league import (
    LEAGUE_EXAMPLE,
    LEAGUE_EXAMPLE_ANSWER,
    league_parse,
    league_work_out,
)
from matches.reckon.payouts import (
    PAYOUTS_EXAMPLE,
    PAYOUTS_EXAMPLE_ANSWER,
    payouts_parse,
    payouts_work_out,
)
from matches.reckon.placings import (
    PLACINGS_EXAMPLE,
    PLACINGS_EXAMPLE_ANSWER,
    placings_parse,
    placings_work_out,
)

from . import league_shapes, lines_shapes, mix_shapes, placement_shapes
from . import reckon_shapes as shapes
from .shapes import Shape
from .strict_json import StrictJSONParser

# Anyone may ask, so nobody holds a process for long; the app's own orders get more, in a worker.
ORDER_SECONDS: Final = 8.0
Example = dict[str, Any]
Method = TypeVar("Method", bound=Callable[..., Response])


class ReckonThrottle(ScopedRateThrottle):
    """So many calls a minute from one address, as the settings say now."""

    def get_rate(self) -> str | None:
        rates: Any = settings.REST_FRAMEWORK["DEFAULT_THROTTLE_RATES"]
        return rates[self.scope] if self.scope else None


class ReckonView(APIView):
    """A calculator: JSON in, JSON out. Bad input is answered by the API's problem details."""

    authentication_classes = ()
    permission_classes = (AllowAny,)
    parser_classes = (StrictJSONParser,)
    throttle_classes = (ReckonThrottle,)
    throttle_scope = "reckon"


def described(
    name: str, *, request: Shape, answer: Shape, example: Example, example_answer: Example
) -> Callable[[Method], Method]:
    """The OpenAPI description of one calculator, with one worked example."""
    description: Callable[[Method], Method] = extend_schema(
        operation_id=f"reckon_{name}",
        tags=["reckon"],
        auth=[],
        request={"application/json": request},
        responses={(200, "application/json"): answer},
        examples=[
            OpenApiExample("request", value=example, request_only=True),
            OpenApiExample("answer", value=example_answer, response_only=True),
        ],
    )
    return description


class OrderView(ReckonView):
    @described(
        "order",
        request=shapes.ORDER_REQUEST,
        answer=shapes.ORDER_ANSWER,
        example=ORDER_EXAMPLE,
        example_answer=ORDER_EXAMPLE_ANSWER,
    )
    def post(self, request: Request) -> Response:
        """The order of least total that covers a team's demands, proved, and shared."""
        answer = order_work_out(order_parse(request.data), time_limit_s=ORDER_SECONDS)
        return Response(answer.as_json())


class PlacingsView(ReckonView):
    @described(
        "placings",
        request=shapes.PLACINGS_REQUEST,
        answer=shapes.PLACINGS_ANSWER,
        example=PLACINGS_EXAMPLE,
        example_answer=PLACINGS_EXAMPLE_ANSWER,
    )
    def post(self, request: Request) -> Response:
        """Places in sections, team totals, and individuals over all sections."""
        return Response(placings_work_out(placings_parse(request.data)).as_json())


class DrawView(ReckonView):
    @described(
        "draw",
        request=shapes.DRAW_REQUEST,
        answer=shapes.DRAW_ANSWER,
        example=DRAW_EXAMPLE,
        example_answer=DRAW_EXAMPLE_ANSWER,
    )
    def post(self, request: Request) -> Response:
        """The pegs that follow from a seed, so that anyone can check a draw."""
        return Response(draw_work_out(draw_parse(request.data)).as_json())


class LeagueView(ReckonView):
    @described(
        "league",
        request=league_shapes.LEAGUE_REQUEST,
        answer=league_shapes.LEAGUE_ANSWER,
        example=LEAGUE_EXAMPLE,
        example_answer=LEAGUE_EXAMPLE_ANSWER,
    )
    def post(self, request: Request) -> Response:
        """A league's table out of its rounds: which count, which are dropped and why, who leads."""
        return Response(league_work_out(league_parse(request.data)).as_json())


class LinesView(ReckonView):
    @described(
        "lines",
        request=lines_shapes.LINES_REQUEST,
        answer=lines_shapes.LINES_ANSWER,
        example=LINES_EXAMPLE,
        example_answer=LINES_EXAMPLE_ANSWER,
    )
    def post(self, request: Request) -> Response:
        """Which of an angler's lines catches best, how sure that is, and the pace still needed."""
        return Response(lines_work_out(lines_parse(request.data)).as_json())


class MixView(ReckonView):
    @described(
        "mix",
        request=mix_shapes.MIX_REQUEST,
        answer=mix_shapes.MIX_ANSWER,
        example=MIX_EXAMPLE,
        example_answer=MIX_EXAMPLE_ANSWER,
    )
    def post(self, request: Request) -> Response:
        """Groundbait, water and balls: what a mix makes, and what a ball takes and still holds."""
        return Response(mix_work_out(mix_parse(request.data)).as_json())


class PlacementView(ReckonView):
    @described(
        "placement",
        request=placement_shapes.PLACEMENT_REQUEST,
        answer=placement_shapes.PLACEMENT_ANSWER,
        example=PLACEMENT_EXAMPLE,
        example_answer=PLACEMENT_EXAMPLE_ANSWER,
    )
    def post(self, request: Request) -> Response:
        """Where each feed must go in so that it lands where the rig settles."""
        return Response(placement_work_out(placement_parse(request.data)).as_json())


class PayoutsView(ReckonView):
    @described(
        "payouts",
        request=shapes.PAYOUTS_REQUEST,
        answer=shapes.PAYOUTS_ANSWER,
        example=PAYOUTS_EXAMPLE,
        example_answer=PAYOUTS_EXAMPLE_ANSWER,
    )
    def post(self, request: Request) -> Response:
        """A pool paid out to the penny: the frame, the sections, and what nobody won."""
        return Response(payouts_work_out(payouts_parse(request.data)).as_json())
