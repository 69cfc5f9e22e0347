"""How a season went: rank and total after each round, worked out again from a published table."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from typing import Any

from matches.reckon.decimals import decimal_text
from matches.reckon.league import (
    LeagueRequest,
    Round,
    RoundEntry,
    league_rules_parse,
    league_work_out,
)


@dataclass(frozen=True, slots=True)
class After:
    """Where one row stood after a round; None before its first."""

    rank: int | None
    total: str | None


def table_request(body: dict[str, Any]) -> LeagueRequest:
    """What the calculator was asked for this table: anyone can send it and compare."""
    entries: dict[str, list[RoundEntry]] = {}
    for row in body["table"]:
        for said in row["rounds"]:
            if said["status"] != "missed":
                entries.setdefault(said["round"], []).append(_entry(row["id"], said))
    counted = [r for r in body["rounds"] if r["state"] == "counted"]
    return LeagueRequest(
        tuple(
            Round(str(r["number"]), tuple(entries.get(str(r["number"]), ())), r["weight_unit"])
            for r in counted
        ),
        league_rules_parse({k: v for k, v in body["rules"].items() if k != "counts"}),
    )


def season_course(body: dict[str, Any], *, key: str) -> list[After]:
    """Rank and total after each round that counted, by the rules as they are now."""
    request = table_request(body)
    return [
        _after(LeagueRequest(request.rounds[:n], request.rules), key)
        for n in range(1, len(request.rounds) + 1)
    ]


def _after(request: LeagueRequest, key: str) -> After:
    row = next((s for s in league_work_out(request).table if s.id == key), None)
    return After(None, None) if row is None else After(row.rank, decimal_text(row.total))


def _entry(key: str, said: dict[str, Any]) -> RoundEntry:
    return RoundEntry(
        key,
        points=Fraction(said["points"] or 0),
        weight=said["weight"] or 0,
        place=None if said["place"] is None else Fraction(said["place"]),
        status=said["status"],
    )
