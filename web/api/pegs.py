"""A match's pegs and sections in the API, as the club's members may read them."""

from __future__ import annotations

from typing import Any

from drf_spectacular.utils import extend_schema
from rest_framework import serializers
from rest_framework.request import Request
from rest_framework.response import Response
from rest_framework.views import APIView

from matches.models import Peg
from matches.reads.access import match_seen
from matches.reads.match_pegs import MatchPegs, match_pegs
from web.people import person_of
from web.problem_shapes import ProblemShape


class PegShape(serializers.Serializer[Any]):
    number = serializers.CharField()
    section = serializers.CharField(allow_null=True, help_text="Null for a peg of no section.")
    left_out = serializers.CharField(allow_null=True, help_text="Why; null for a peg in use.")
    end = serializers.BooleanField(help_text="Nobody is beside it up or down its bank.")
    side = serializers.CharField(help_text="left or right, looking downstream; empty: not said.")
    along_m = serializers.IntegerField(allow_null=True, help_text="From the venue's first peg.")
    depth_cm = serializers.IntegerField(allow_null=True)
    latitude = serializers.CharField(allow_null=True, help_text="A decimal string, WGS 84.")
    longitude = serializers.CharField(allow_null=True)
    accessible = serializers.BooleanField(help_text="Reached with a wheelchair.")
    power_lines = serializers.BooleanField()
    steep_bank = serializers.BooleanField()
    notes = serializers.CharField()


class SectionPegsShape(serializers.Serializer[Any]):
    # A field of that name hides the serializer's own label, which nothing here asks for.
    label = serializers.CharField()  # type: ignore[assignment]
    pegs = serializers.ListField(child=serializers.CharField(), help_text="Along its bank.")


class MatchPegsShape(serializers.Serializer[Any]):
    match = serializers.IntegerField()
    sections = SectionPegsShape(many=True)
    pegs = PegShape(many=True, help_text="Downstream.")


class MatchPegsView(APIView):
    @extend_schema(
        operation_id="match_pegs_get",
        responses={200: MatchPegsShape, **dict.fromkeys((401, 403, 404), ProblemShape)},
    )
    def get(self, request: Request, match_id: int) -> Response:
        """The pegs of a match of your clubs, which are left out, and its sections."""
        found = match_pegs(match_seen(person_of(request), match_id=match_id))
        return Response(match_pegs_body(found))


def match_pegs_body(found: MatchPegs) -> dict[str, Any]:
    """The pegs downstream, each with its section, and the sections."""
    runs = found.runs
    ends = found.ends(runs)
    section = {number: run.label for run in runs for number in run.pegs}
    return {
        "match": found.match.pk,
        "sections": [{"label": run.label, "pegs": list(run.pegs)} for run in runs],
        "pegs": [
            {
                "section": section.get(peg.number),
                "left_out": found.left_out.get(peg.number),
                "end": peg.number in ends,
                **_known(peg),
            }
            for peg in found.pegs
        ],
    }


def _known(peg: Peg) -> dict[str, Any]:
    place = {
        name: None if value is None else str(value)
        for name, value in (("latitude", peg.latitude), ("longitude", peg.longitude))
    }
    return {
        "number": peg.number,
        "side": peg.side,
        "along_m": peg.along_m,
        "depth_cm": peg.depth_cm,
        **place,
        "accessible": peg.accessible,
        "power_lines": peg.power_lines,
        "steep_bank": peg.steep_bank,
        "notes": peg.notes,
    }
