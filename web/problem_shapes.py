"""The shape of every refusal, for the API's description."""

from __future__ import annotations

from typing import Any

from drf_spectacular.utils import OpenApiResponse
from rest_framework import serializers as s


class FaultShape(s.Serializer[Any]):
    pointer = s.CharField()
    message = s.CharField()


class ProblemShape(s.Serializer[Any]):
    """Problem details (RFC 9457)."""

    type = s.CharField()
    title = s.CharField()
    status = s.IntegerField()
    detail = s.CharField()

    # Made by hand: a serializer's own `errors` is something else.
    def get_fields(self) -> dict[str, s.Field[Any, Any, Any, Any]]:
        return {**super().get_fields(), "errors": FaultShape(many=True, required=False)}


#: By status: what any operation of a protected object may answer.
PROBLEMS: dict[int, Any] = dict.fromkeys((401, 403, 404), ProblemShape)
PROBLEM = OpenApiResponse(ProblemShape, description="Problem details (RFC 9457)")
