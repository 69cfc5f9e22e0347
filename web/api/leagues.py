"""A club's leagues and their tables in the API."""

from __future__ import annotations

from typing import Any

from django.urls import reverse
from drf_spectacular.utils import extend_schema
from rest_framework import serializers
from rest_framework.request import Request
from rest_framework.response import Response
from rest_framework.views import APIView

from matches.models import League
from matches.reads import league_board, leagues
from web.people import person_of
from web.problem_shapes import PROBLEMS


class LeagueShape(serializers.Serializer[Any]):
    league = serializers.CharField(help_text="The league's slug in its club.")
    name = serializers.CharField()
    of = serializers.CharField(help_text="anglers or teams.")
    rules = serializers.JSONField(
        help_text="What the league calculator takes beside its rounds, and counts: points, places."
    )
    rounds = serializers.IntegerField()
    table = serializers.IntegerField(
        allow_null=True, help_text="The latest; null before the first."
    )
    url = serializers.CharField(allow_null=True, help_text="The public page of the latest table.")


class LeagueListShape(serializers.Serializer[Any]):
    leagues = LeagueShape(many=True)


class LeagueTableShape(serializers.Serializer[Any]):
    number = serializers.IntegerField()
    digest = serializers.CharField(help_text="SHA-256 of the body as canonical JSON.")
    made_at = serializers.DateTimeField()
    body = serializers.JSONField(help_text="The table as it was published, by public names.")


class Leagues(APIView):
    @extend_schema(operation_id="leagues_list", responses={200: LeagueListShape, **PROBLEMS})
    def get(self, request: Request, club: str) -> Response:
        """The leagues of one of your clubs."""
        found = leagues.club_of_leagues(person_of(request), slug=club)
        rows = leagues.leagues_of(found)
        return Response({"leagues": [_league(row, club=found.slug) for row in rows]})


class LeagueTable(APIView):
    @extend_schema(operation_id="league_table_get", responses={200: LeagueTableShape, **PROBLEMS})
    def get(self, request: Request, club: str, league: str, number: int) -> Response:
        """One table of a league of your clubs; every table stays as it was."""
        found = leagues.league_seen(person_of(request), club=club, slug=league)
        table = league_board.table_public(found, number=number)
        return Response(LeagueTableShape(table).data)


def _league(row: League, *, club: str) -> dict[str, Any]:
    # Both counts are annotated: the model's type does not know them.
    latest: int | None = row.latest  # type: ignore[attr-defined]
    return {
        "league": row.slug,
        "name": row.name,
        "of": row.of,
        "rules": row.rules,
        "rounds": row.many,  # type: ignore[attr-defined]
        "table": latest,
        "url": reverse("board:league", args=[club, row.slug]) if latest else None,
    }
