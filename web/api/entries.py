"""Who is entered in a match, in the API."""

from __future__ import annotations

from typing import Any

from drf_spectacular.utils import extend_schema
from rest_framework import serializers
from rest_framework.request import Request
from rest_framework.response import Response
from rest_framework.views import APIView

from matches.models import Entry
from matches.reads import access
from matches.reads.entries import entry_lists
from web.people import person_of
from web.problem_shapes import ProblemShape


class EnteredShape(serializers.Serializer[Any]):
    entry = serializers.IntegerField(help_text="The number the draw's lists name it by.")
    angler = serializers.CharField(help_text="The public name.")
    team = serializers.CharField(allow_null=True)
    status = serializers.CharField(
        help_text="entered, retired, absent, disqualified; reserve, waiting or withdrawn."
    )
    section = serializers.CharField(allow_null=True, help_text="Null until the pegs are drawn.")
    peg = serializers.CharField(allow_null=True)
    replaces = serializers.IntegerField(allow_null=True, help_text="Whose place it took over.")


class EntriesShape(serializers.Serializer[Any]):
    places = serializers.IntegerField(allow_null=True, help_text="Null for no limit.")
    entries = EnteredShape(many=True)


class EntryList(APIView):
    @extend_schema(
        operation_id="entries_list",
        responses={200: EntriesShape, **dict.fromkeys((401, 403, 404), ProblemShape)},
    )
    def get(self, request: Request, match_id: int) -> Response:
        """Who is in a match of your clubs: with a place, reserves, who waits in their order, and
        who withdrew."""
        match = access.match_seen(person_of(request), match_id=match_id)
        lists = entry_lists(match)
        rows = (*lists.placed, *lists.reserves, *lists.waiting, *lists.withdrawn)
        return Response({"places": match.places_most, "entries": [_entry(e) for e in rows]})


def _entry(entry: Entry) -> dict[str, Any]:
    drawn = getattr(entry, "drawn_peg", None)
    return {
        "entry": entry.pk,
        "angler": entry.angler.public_name,
        "team": entry.team.name if entry.team else None,
        "status": entry.status,
        "section": drawn.section_peg.section.label if drawn else None,
        "peg": drawn.section_peg.peg.number if drawn else None,
        "replaces": entry.replaces_id,
    }
