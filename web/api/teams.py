"""The teams a person belongs to or orders for, in the API."""

from __future__ import annotations

from typing import Any

from drf_spectacular.utils import extend_schema
from rest_framework import serializers
from rest_framework.request import Request
from rest_framework.response import Response
from rest_framework.views import APIView

from matches.reads.teams import teams_seen
from web.people import person_of
from web.problem_shapes import ProblemShape


class OwnTeamShape(serializers.Serializer[Any]):
    id = serializers.IntegerField()
    club = serializers.CharField(help_text="The club's short name.")
    name = serializers.CharField()
    orders = serializers.BooleanField(help_text="Whether you order bait for it.")


class TeamListShape(serializers.Serializer[Any]):
    teams = OwnTeamShape(many=True)


class TeamList(APIView):
    @extend_schema(operation_id="teams_list", responses={200: TeamListShape, 401: ProblemShape})
    def get(self, request: Request) -> Response:
        """The teams you fish in, and those you order bait for."""
        rows = [
            {"id": team.pk, "club": team.club.slug, "name": team.name, "orders": orders}
            for team, orders in teams_seen(person_of(request))
        ]
        return Response({"teams": rows})
