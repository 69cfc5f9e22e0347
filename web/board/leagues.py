"""The public pages of leagues: tables, and the season of one angler or team."""

from __future__ import annotations

from typing import Any

from django.http import HttpRequest, HttpResponse, JsonResponse
from django.shortcuts import render
from django.views.decorators.http import require_safe

from matches.models import LeagueTable
from matches.reads import league_board
from matches.reckon.weights import weight_text
from web.csv_files import csv_file
from web.league_words import because_words

from .league_shown import season_shown, table_shown


@require_safe
def table(request: HttpRequest, club: str, league: str, number: int | None = None) -> HttpResponse:
    """One table, the latest where none is named."""
    found = league_board.league_public(club, league)
    shown = league_board.table_public(found, number=number)
    tables = league_board.tables_of(found)
    hidden = league_board.seasons_hidden(found, (row["id"] for row in shown.body["table"]))
    return render(
        request,
        "board/league.html",
        {
            "league": found,
            "of": found.club,
            "table": shown,
            "tables": [
                {**t, "said": because_words(t["because"], first=t["number"] == 1)} for t in tables
            ],
            "zone": league_board.league_zone(found),
            "latest": tables[0]["number"],
            **table_shown(shown.body, hidden=hidden),
        },
    )


@require_safe
def season(request: HttpRequest, club: str, league: str, key: int) -> HttpResponse:
    """One angler's or team's season, from the latest table."""
    found = league_board.league_public(club, league)
    shown, row = league_board.season_public(found, key=str(key))
    return render(
        request,
        "board/season.html",
        {
            "league": found,
            "of": found.club,
            "table": shown,
            **season_shown(shown.body, row),
        },
    )


@require_safe
def table_csv(request: HttpRequest, club: str, league: str, number: int) -> HttpResponse:
    """One line an entrant, two columns a round: its points, and whether they count."""
    found = _table(club, league, number)
    counted = [str(r["number"]) for r in found.body["rounds"] if r["state"] == "counted"]
    rows: list[list[Any]] = [
        ["rank", "name", "team", "total", "behind", "fished", "counted", "weight"]
        + [f"round {n}{what}" for n in counted for what in ("", " counts")]
    ]
    for row in found.body["table"]:
        scores = {said["round"]: said for said in row["rounds"]}
        weights = [weight_text(w["weight"], unit=w["unit"]) for w in row["weights"]]
        cells = [row["rank"], row["name"], row.get("team"), row["total"], row["behind"]]
        cells += [row["fished"], row["counted"], " + ".join(weights)]
        for n in counted:
            cells += [scores[n]["points"], "yes" if scores[n]["counts"] else "no"]
        rows.append(cells)
    return csv_file(rows, disposition=f'attachment; filename="{league}-{number}.csv"')


@require_safe
def table_json(request: HttpRequest, club: str, league: str, number: int) -> HttpResponse:
    """The body exactly as its digest was taken, and the digest."""
    found = _table(club, league, number)
    response = JsonResponse(
        {"digest": found.digest_shown, "made_at": found.made_at, "body": found.body},
        json_dumps_params={"ensure_ascii": False},
    )
    response["Content-Disposition"] = f'attachment; filename="{league}-{number}.json"'
    return response


def _table(club: str, league: str, number: int) -> LeagueTable:
    return league_board.table_public(league_board.league_public(club, league), number=number)
