"""Matches, the weigh board, bulletins and disagreements in the API."""

from __future__ import annotations

import hashlib
import json
from collections.abc import Collection, Mapping
from typing import Any

from django.urls import reverse
from django.utils.translation import gettext as _
from drf_spectacular.utils import OpenApiParameter, extend_schema
from rest_framework.request import Request
from rest_framework.response import Response
from rest_framework.views import APIView

from matches.models import Bulletin, Match
from matches.problems import bad_field
from matches.reads import access, board
from matches.reads.facts import OpenDisagreement, disagreements_open
from matches.reads.phones import facts_to_come
from matches.reads.results import MatchResult, match_result
from matches.reckon.errors import BadInput, Fault, pointer
from matches.writes.bulletins import bulletin_publish
from web.desk.weigh import match_for_weigher
from web.people import person_of
from web.problem_shapes import PROBLEMS, ProblemShape

from . import match_shapes as shapes
from .strict_json import StrictJSONParser

PAGE = 100


class MatchList(APIView):
    @extend_schema(
        operation_id="matches_list",
        parameters=[OpenApiParameter("after", int, description="From the answer before.")],
        responses={200: shapes.MatchPageShape, 400: ProblemShape, **PROBLEMS},
    )
    def get(self, request: Request) -> Response:
        """The matches of your clubs, newest first, a hundred at a time."""
        after = request.query_params.get("after", "0")
        if not (after.isascii() and after.isdigit() and len(after) < 10):
            sentence = _("Take `after` from the answer before.")
            raise bad_field("/after", sentence)
        start = int(after)
        rows = list(
            access.matches_of(person_of(request)).order_by("-date", "-pk")[start : start + PAGE + 1]
        )
        return Response(
            {
                "matches": shapes.MatchShape(rows[:PAGE], many=True).data,
                "next": start + PAGE if len(rows) > PAGE else None,
            }
        )


class MatchDetail(APIView):
    @extend_schema(operation_id="match_get", responses={200: shapes.MatchShape, **PROBLEMS})
    def get(self, request: Request, match_id: int) -> Response:
        """One match of your clubs."""
        match = access.match_seen(person_of(request), match_id=match_id)
        return Response(shapes.MatchShape(match).data)


class WeighBoard(APIView):
    @extend_schema(
        operation_id="weigh_board_get",
        parameters=[
            OpenApiParameter(
                "If-None-Match", str, OpenApiParameter.HEADER, description="The ETag you hold."
            )
        ],
        responses={200: shapes.WeighBoardShape, 304: None, **PROBLEMS},
    )
    def get(self, request: Request, match_id: int) -> Response:
        """The weights as they come in, for the match's weighers and the secretary."""
        person = person_of(request)
        match = match_for_weigher(person, match_id=match_id)
        coming = sum(phone.missing for phone in facts_to_come(person, match_id=match.pk))
        body = weigh_board_body(match_result(match), still_to_come=coming)
        text = json.dumps(body, sort_keys=True)
        tag = f'"{hashlib.sha256(text.encode()).hexdigest()[:32]}"'
        headers = {"ETag": tag, "Cache-Control": "private, no-cache"}
        if request.headers.get("If-None-Match") == tag:
            return Response(status=304, headers=headers)
        return Response(body, headers=headers)


def weigh_board_body(result: MatchResult, *, still_to_come: int) -> dict[str, Any]:
    """The board as JSON: sections in bank order, whole-number weights in the match's unit."""
    biggest = result.biggest
    return {
        "match": result.match.pk,
        "state": result.match.state,
        "weight_unit": result.match.weight_unit,
        "weighed": result.weighed,
        "expected": result.expected,
        "disagreements": result.disagreements,
        "still_to_come": still_to_come,
        "biggest": None
        if biggest is None
        else {"angler": biggest.angler, "peg": biggest.peg, "weight": biggest.weight},
        "sections": [
            {
                "label": section.label,
                "to_weigh": len(section.to_weigh),
                "entries": [
                    {
                        "peg": e.peg,
                        "angler": e.angler,
                        "team": e.team,
                        "nets": [n.weight for n in e.nets],
                        "weight": e.weight,
                        "counted": e.counted,
                        "score": e.score,
                        "status": e.status,
                        "place": e.place,
                        "points": e.points,
                    }
                    for e in section.entries
                ],
            }
            for section in result.sections
        ],
        "teams": [
            {
                "rank": t.rank,
                "team": t.team,
                "points": t.points,
                "weight": t.weight,
                "counted": t.counted,
                "members": t.members,
            }
            for t in result.teams
        ],
    }


class Bulletins(APIView):
    parser_classes = [StrictJSONParser]

    @extend_schema(
        operation_id="bulletins_list",
        responses={200: shapes.BulletinListShape, **PROBLEMS},
    )
    def get(self, request: Request, match_id: int) -> Response:
        """Every bulletin of a match of your clubs, latest first."""
        match = access.match_seen(person_of(request), match_id=match_id)
        return Response({"bulletins": [_bulletin(match, b) for b in board.bulletins_of(match)]})

    @extend_schema(
        operation_id="bulletin_publish",
        request=shapes.BulletinAskShape,
        responses={
            201: shapes.BulletinShape,
            400: ProblemShape,
            409: ProblemShape,
            **PROBLEMS,
        },
    )
    def post(self, request: Request, match_id: int) -> Response:
        """Publish what stands now, as the secretary. A bulletin after the first needs a reason."""
        person = person_of(request)
        match = access.match_for_secretary(person, match_id=match_id)
        asked = shapes.BulletinAskShape(data=request.data)
        asked.is_valid(raise_exception=True)
        _unknown_refuse(asked.initial_data, known=asked.fields)
        made = bulletin_publish(person, match=match, **asked.validated_data)
        return Response(_bulletin(match, made), status=201)


def _unknown_refuse(given: Mapping[str, Any], *, known: Collection[str]) -> None:
    """A key that is misspelt must not be passed over: it may have said to confirm."""
    sentence = _("This key is not known here: leave it out.")
    faults = [Fault(pointer(key), sentence) for key in given if key not in known]
    if faults:
        raise BadInput(*faults)


def _bulletin(match: Match, bulletin: Bulletin) -> dict[str, Any]:
    return {
        "number": bulletin.number,
        "confirmed": bulletin.confirmed,
        "reason": bulletin.reason,
        "digest": bulletin.digest_shown,
        "published_at": bulletin.published_at,
        "objections_until": bulletin.objections_until,
        "url": reverse("board:bulletin", args=[match.club.slug, match.slug, bulletin.number]),
    }


class Disagreements(APIView):
    @extend_schema(
        operation_id="disagreements_list",
        responses={200: shapes.DisagreementListShape, **PROBLEMS},
    )
    def get(self, request: Request, match_id: int) -> Response:
        """What is still to settle, with every side, for weighers and the secretary."""
        person = person_of(request)
        match = match_for_weigher(person, match_id=match_id)
        rows = disagreements_open(person, match_id=match.pk)
        return Response({"disagreements": [_disagreement(row) for row in rows]})


def _disagreement(open_one: OpenDisagreement) -> dict[str, Any]:
    row = open_one.row
    return {
        "id": row.pk,
        "kind": row.kind,
        "peg": row.peg,
        "net": row.net,
        "opened_at": row.opened_at,
        "sides": [
            {
                "fact": str(side.fact.pk),
                "kind": side.fact.kind,
                "weight": side.weight,
                "author": side.author,
                "device": side.device_label,
                "recorded_at": side.fact.recorded_at,
                "received_at": side.fact.received_at,
            }
            for side in open_one.sides
        ],
    }
