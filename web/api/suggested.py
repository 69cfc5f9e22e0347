"""The plan suggested for a match to come, in the API."""

from __future__ import annotations

from typing import Any

from django.utils.translation import gettext as _
from drf_spectacular.utils import OpenApiParameter, extend_schema
from rest_framework import serializers
from rest_framework.request import Request
from rest_framework.response import Response
from rest_framework.views import APIView

from bait.reads.plans import own_entry_of
from bait.reads.suggested import plan_suggested
from matches.problems import bad_field
from web.desk.suggested import CELSIUS_TENTHS_MOST, CM_S_MOST, scaled_typed
from web.people import person_of
from web.suggest_words import note_said, numbers_said

from .bait import REFUSALS
from .bait_shapes import PlanMixShape, StageShape


class NumberShape(serializers.Serializer[Any]):
    what = serializers.CharField()
    value = serializers.CharField()
    why = serializers.CharField(help_text="Where the number comes from, and of how many matches.")
    care = serializers.CharField(allow_blank=True)


class SuggestedPlanShape(serializers.Serializer[Any]):
    note = serializers.CharField()
    spare_percent = serializers.IntegerField()
    mixes = PlanMixShape(many=True)
    stages = StageShape(many=True)
    substitutes = serializers.ListField(child=serializers.JSONField())


class SuggestionShape(serializers.Serializer[Any]):
    plan = SuggestedPlanShape(help_text="To be put with the version of your plan, or 0.")
    numbers = NumberShape(many=True)
    left_out = serializers.ListField(child=serializers.CharField(), help_text="Keys of baits.")


class OwnSuggestion(APIView):
    @extend_schema(
        operation_id="plan_suggestion_get",
        parameters=[
            OpenApiParameter("celsius", str, description="The water's, 0 to 30: 8.5."),
            OpenApiParameter("speed", str, description="Of the surface, m/s, 0 to 3: 0.35."),
        ],
        responses={200: SuggestionShape, **REFUSALS},
    )
    def get(self, request: Request, match_id: int) -> Response:
        """A plan to start from, within the match's limits; nothing is saved by asking."""
        person = person_of(request)
        entry = own_entry_of(person, match_id=match_id)
        found = plan_suggested(
            person,
            entry=entry,
            celsius_tenths=_asked(request, "celsius", times=10, most=CELSIUS_TENTHS_MOST),
            cm_s=_asked(request, "speed", times=100, most=CM_S_MOST),
        )
        numbers = numbers_said(found, own=True)
        return Response(
            {
                "plan": {**found.content(), "note": note_said(found)},
                "numbers": [
                    {"what": n.what, "value": n.value, "why": n.why, "care": n.care}
                    for n in numbers
                ],
                "left_out": list(found.suggestion.left_out),
            }
        )


def _asked(request: Request, key: str, *, times: int, most: int) -> int | None:
    text = request.query_params.get(key, "")
    value = scaled_typed(text, times=times, most=most)
    if text and value is None:
        raise bad_field(f"/{key}", _("Write a number such as 8.5, or leave it out."))
    return value
