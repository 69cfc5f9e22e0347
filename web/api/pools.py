"""A match's pools as they stand, in the API."""

from __future__ import annotations

from typing import Any

from drf_spectacular.utils import extend_schema
from rest_framework import serializers
from rest_framework.request import Request
from rest_framework.response import Response
from rest_framework.views import APIView

from matches.models import MatchState
from matches.reads import access
from matches.reads.pools import pools_shown
from web.people import person_of
from web.problem_shapes import ProblemShape


class PoolPaymentShape(serializers.Serializer[Any]):
    entry = serializers.IntegerField()
    angler = serializers.CharField(help_text="The public name.")
    # `for` is no name in Python.
    vars()["for"] = serializers.ChoiceField(["frame", "section"])
    pence = serializers.IntegerField()
    equals = serializers.IntegerField(help_text="How many shared.")
    prizes = serializers.ListField(
        child=serializers.ListField(child=serializers.IntegerField(), min_length=2, max_length=2),
        required=False,
        help_text="Of the frame: each place filled, and what it is worth in pence.",
    )
    section = serializers.CharField(required=False)
    passed = serializers.BooleanField(
        required=False, help_text="Who was ahead in the section has a prize of the frame."
    )


class PoolShape(serializers.Serializer[Any]):
    pool = serializers.CharField()
    name = serializers.CharField()
    won_by = serializers.CharField(help_text="weight or biggest_fish.")
    opt_in = serializers.BooleanField(help_text="Only who chose it is in.")
    stake_pence = serializers.IntegerField()
    entries = serializers.IntegerField(help_text="How many are in.")
    holds = serializers.IntegerField(help_text="In pence: payments and unallocated, once won.")
    open = serializers.BooleanField(help_text="Nothing is won yet.")
    payments = PoolPaymentShape(many=True)
    unallocated = serializers.IntegerField()
    rest_to = serializers.CharField(allow_blank=True)


class PoolsShape(serializers.Serializer[Any]):
    currency = serializers.CharField()
    pools = PoolShape(many=True)


class PoolList(APIView):
    @extend_schema(
        operation_id="pools_list",
        responses={200: PoolsShape, **dict.fromkeys((401, 403, 404), ProblemShape)},
    )
    def get(self, request: Request, match_id: int) -> Response:
        """The pools of a match of your clubs, and who wins what as the result stands. Money is in
        pence, or the hundredths of the club's currency."""
        match = access.match_seen(person_of(request), match_id=match_id)
        is_final = match.state == MatchState.CONFIRMED
        pools = pools_shown(match, is_final=is_final)
        return Response({"currency": match.club.currency, "pools": pools})
