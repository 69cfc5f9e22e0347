"""A published result and a held draw as files, for spreadsheets and for checking."""

from __future__ import annotations

import csv
from typing import Any

from django.http import HttpRequest, HttpResponse, JsonResponse
from django.utils.translation import gettext as _
from django.views.decorators.http import require_safe

from matches.models import Bulletin
from matches.problems import Code, Problem
from matches.reads import board
from matches.reckon.weights import weight_text

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
# What a spreadsheet takes for a formula, also after the full-width signs some type.
FORMULA_STARTS = ("=", "+", "-", "@", "\t", "\r", "\n", "＝", "＋", "－", "＠")


@require_safe
def result_csv(request: HttpRequest, club: str, match: str, number: int) -> HttpResponse:
    """One line an angler; the file is UTF-8 with a mark, so that spreadsheets read names right."""
    bulletin = _bulletin(club, match, number)
    response = HttpResponse("\ufeff", content_type="text/csv; charset=utf-8")
    response["Content-Disposition"] = f'attachment; filename="{match}-{number}.csv"'
    writer = csv.writer(response)
    writer.writerow(COLUMNS)
    writer.writerows(_lines(bulletin.body))
    return response


@require_safe
def result_json(request: HttpRequest, club: str, match: str, number: int) -> HttpResponse:
    """The body exactly as its digest was taken, and the digest."""
    bulletin = _bulletin(club, match, number)
    response = JsonResponse(
        {
            "digest": bulletin.digest,
            "published_at": bulletin.published_at,
            "body": bulletin.body,
        },
        json_dumps_params={"ensure_ascii": False},
    )
    response["Content-Disposition"] = f'attachment; filename="{match}-{number}.json"'
    return response


@require_safe
def draw_json(request: HttpRequest, club: str, match: str, number: int) -> HttpResponse:
    """What the draw calculator takes: send it to `/api/v1/reckon/draw` and compare."""
    for draw in board.draws_public(board.match_public(club, match)):
        if draw.number == number and draw.drawn_at is not None:
            return JsonResponse({**draw.asked, "seed": draw.seed})
    raise Problem(Code.NOT_FOUND, _("That draw has not been held: its seed is still secret."))


def cell_safe(value: Any) -> str:
    """A cell no spreadsheet runs: a quote goes before what it would take for a formula."""
    text = "" if value is None else str(value)
    return f"'{text}" if text.lstrip(" ").startswith(FORMULA_STARTS) else text


def _bulletin(club: str, match: str, number: int) -> Bulletin:
    return board.bulletin_public(board.match_public(club, match), number=number)


def _lines(body: dict[str, Any]) -> list[list[str]]:
    unit = body["weight_unit"]
    return [
        [
            cell_safe(value)
            for value in (
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
            )
        ]
        for section in body["sections"]
        for entry in section["entries"]
    ]
