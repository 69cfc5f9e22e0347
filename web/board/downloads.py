"""A published result and a held draw as files: for spreadsheets, messages, sharing and checking.

What is numbered never changes, so whoever holds it may keep it.
"""

from __future__ import annotations

from typing import Any

from django.http import HttpRequest, HttpResponse, JsonResponse
from django.http.response import HttpResponseBase
from django.shortcuts import render
from django.urls import reverse
from django.utils.translation import gettext as _
from django.views.decorators.http import require_safe

from matches.models import Bulletin
from matches.problems import Code, Problem
from matches.reads import board
from matches.reckon.canonical import canonical_json
from matches.reckon.weights import weight_text
from web.csv_files import csv_file

from .caching import told_as
from .cards import SHAPES, card
from .message import result_message

COLUMNS = (
    "section",
    "peg",
    "place",
    "points",
    "angler",
    "team",
    "weight",
    "unit",
    "weight_text",
    "status",
)


# What is written from a bulletin may be worded better one day: it is kept for a day only.
DAY = 86_400


@require_safe
def result_csv(request: HttpRequest, club: str, match: str, number: int) -> HttpResponseBase:
    """One line an angler; the file is UTF-8 with a mark, so that spreadsheets read names right."""
    bulletin = _bulletin(club, match, number)
    rows = [COLUMNS, *_lines(bulletin.body)]
    response = csv_file(rows, disposition=f'attachment; filename="{match}-{number}.csv"')
    return told_as(
        request, response, digest=f"csv-{bulletin.digest_shown}", seconds=DAY, in_words=False
    )


@require_safe
def result_json(request: HttpRequest, club: str, match: str, number: int) -> HttpResponseBase:
    """The body, byte for byte what the digest was taken of; the digest is its tag. Kept for a day
    only: somebody's name may have to go from it."""
    bulletin = _bulletin(club, match, number)
    response = HttpResponse(canonical_json(bulletin.body), content_type="application/json")
    response["Content-Disposition"] = f'attachment; filename="{match}-{number}.json"'
    return told_as(request, response, digest=bulletin.digest_shown, seconds=DAY, in_words=False)


@require_safe
def result_text(request: HttpRequest, club: str, match: str, number: int) -> HttpResponseBase:
    """What goes into a message, in the reader's language."""
    bulletin = _bulletin(club, match, number)
    text = result_message(bulletin, address=bulletin_address(request, club, match, number))
    response = HttpResponse(text, content_type="text/plain; charset=utf-8")
    return told_as(request, response, digest=f"text-{bulletin.digest_shown}", seconds=DAY)


@require_safe
def result_card(
    request: HttpRequest, club: str, match: str, number: int, shape: str = "wide"
) -> HttpResponseBase:
    """The picture for sharing, wide or square (SVG)."""
    bulletin = _bulletin(club, match, number)
    response = render(
        request,
        "board/card.svg",
        card(bulletin, shape=SHAPES[shape]),
        content_type="image/svg+xml",
    )
    return told_as(request, response, digest=f"{shape}-{bulletin.digest_shown}", seconds=DAY)


def bulletin_address(request: HttpRequest, club: str, match: str, number: int) -> str:
    """The page of a bulletin, for somebody who is elsewhere."""
    return request.build_absolute_uri(reverse("board:bulletin", args=[club, match, number]))


@require_safe
def draw_json(request: HttpRequest, club: str, match: str, number: int) -> HttpResponse:
    """What the draw calculator takes: send it to `/api/v1/reckon/draw` and compare."""
    for draw in board.draws_public(board.match_public(club, match)):
        if draw.number == number and draw.drawn_at is not None:
            return JsonResponse({**draw.asked, "seed": draw.seed})
    raise Problem(Code.NOT_FOUND, _("That draw has not been held: its seed is still secret."))


def _bulletin(club: str, match: str, number: int) -> Bulletin:
    return board.bulletin_public(board.match_public(club, match), number=number)


def _lines(body: dict[str, Any]) -> list[list[Any]]:
    unit = body["weight_unit"]
    return [
        [
            section["label"],
            entry["peg"],
            entry["place"],
            entry["points"],
            entry["angler"],
            entry["team"],
            entry["weight"],
            unit,
            None if entry["weight"] is None else weight_text(entry["weight"], unit=unit),
            entry["status"],
        ]
        for section in body["sections"]
        for entry in section["entries"]
    ]
