"""One plan for several of a team, in the API."""

from __future__ import annotations

from typing import Any

from drf_spectacular.utils import extend_schema
from rest_framework import serializers
from rest_framework.request import Request
from rest_framework.response import Response
from rest_framework.views import APIView

from bait.reads.orders import team_and_match
from bait.reads.plan_giving import giving_sources, giving_takers
from bait.reads.plan_shown import team_plans
from bait.writes.content_fields import list_read, whole_read, words_read
from bait.writes.plan_giving import plans_give
from matches.reckon.reading import Reading
from web.people import person_of

from .bait import REFUSALS
from .strict_json import StrictJSONParser

MOST_ENTRIES = 200
MOST_ID = 10**18


class GivingSourceShape(serializers.Serializer[Any]):
    key = serializers.CharField(help_text="template-3, or plan-12 of an entry.")
    name = serializers.CharField()


class GivingTakerShape(serializers.Serializer[Any]):
    entry = serializers.IntegerField()
    angler = serializers.CharField()
    version = serializers.IntegerField(help_text="Of the plan they have; 0 for none.")
    own = serializers.BooleanField(help_text="Whether a plan of theirs would be replaced.")


class GivingShape(serializers.Serializer[Any]):
    sources = GivingSourceShape(many=True)
    takers = GivingTakerShape(many=True)


class GiveToShape(serializers.Serializer[Any]):
    entry = serializers.IntegerField()
    version = serializers.IntegerField(help_text="As you got it: left out where it is another.")


class GiveShape(serializers.Serializer[Any]):
    source = serializers.CharField()  # type: ignore[assignment]
    entries = GiveToShape(many=True)


class GivenShape(serializers.Serializer[Any]):
    entry = serializers.IntegerField()
    version = serializers.IntegerField(help_text="Of their plan now.")


class LeftOutShape(serializers.Serializer[Any]):
    angler = serializers.CharField()
    why = serializers.CharField()


class PlansGivenShape(serializers.Serializer[Any]):
    given = GivenShape(many=True)
    left_out = LeftOutShape(many=True)


class TeamPlans(APIView):
    parser_classes = [StrictJSONParser]

    @extend_schema(operation_id="plans_giving_get", responses={200: GivingShape, **REFUSALS})
    def get(self, request: Request, team_id: int, match_id: int) -> Response:
        """What may be given to several of a team, and who would get it."""
        team, match = team_and_match(person_of(request), team_id=team_id, match_id=match_id)
        plans = team_plans(team, match=match)
        sources = giving_sources(team, plans=plans)
        return Response(
            {
                "sources": [
                    {"key": one.key, "name": one.name}
                    for one in (*sources.templates, *sources.plans)
                ],
                "takers": [
                    {
                        "entry": taker.entry.pk,
                        "angler": taker.entry.angler.name,
                        "version": taker.version,
                        "own": taker.own,
                    }
                    for taker in giving_takers(plans)
                ],
            }
        )

    @extend_schema(
        operation_id="plans_give",
        request=GiveShape,
        responses={200: PlansGivenShape, **REFUSALS},
    )
    def post(self, request: Request, team_id: int, match_id: int) -> Response:
        """Give one plan to the entries named. Whose plan is another version by now keeps it."""
        person = person_of(request)
        team, match = team_and_match(person, team_id=team_id, match_id=match_id)
        source, seen = _give_read(request.data)
        done = plans_give(person, team=team, match=match, key=source, seen=seen)
        return Response(
            {
                "given": [{"entry": one.entry_id, "version": one.version} for one in done.given],
                "left_out": [{"angler": name, "why": why} for name, why in done.left_out],
            }
        )


def _give_read(raw: object) -> tuple[str, dict[int, int]]:
    """The source's key, and by entry the version that was looked at. Raises BadInput."""
    reading = Reading()
    sent = reading.read_object(raw, (), needs=("source", "entries"))
    seen = {}
    for at, one in enumerate(list_read(reading, sent, "entries", (), most=MOST_ENTRIES)):
        where = ("entries", at)
        pair = reading.read_object(one, where, needs=("entry", "version"))
        entry = whole_read(reading, pair, "entry", where, least=0, most=MOST_ID)
        seen[entry] = whole_read(reading, pair, "version", where, least=0, most=10**9)
    source = words_read(reading, sent, "source", (), most=40)
    reading.finish()
    return source, seen
