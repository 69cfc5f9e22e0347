"""What a league's table says: plain JSON that stands on its own, and how two of them differ."""

from __future__ import annotations

from typing import Any

from matches.models import League, LeagueOf
from matches.reckon.league import (
    LeagueRequest,
    league_rules_parse,
    league_work_out,
)

from .league_rounds import Named, RoundRead, league_rounds_read

FORM = 1
"""The form of a table's body; raised when a key changes its meaning."""

SAID_OF_THE_TABLE = ("number", "before", "because", "changes")


def league_body(league: League) -> dict[str, Any]:
    """The table as the latest bulletins give it, with the rounds it was made of.

    Raises BadInput where the league's rules make no sense to the calculator.
    """
    rounds, named = league_rounds_read(league)
    counted = [r for r in rounds if r.counted]
    answer = league_work_out(
        LeagueRequest(tuple(r.as_asked() for r in counted), calculator_rules(league))
    )
    return {
        "form": FORM,
        "league": {
            "name": league.name,
            "slug": league.slug,
            "of": league.of,
            "club": league.club.name,
        },
        "rules": league.rules,
        "provisional": any(r.bulletin and not r.bulletin.confirmed for r in counted),
        "rounds": [_round_said(r) for r in rounds],
        "table": [_row_said(row.as_json(), league, named) for row in answer.table],
    }


def calculator_rules(league: League) -> Any:
    """The league's rules without what the calculator has no use for. Raises BadInput."""
    return league_rules_parse({k: v for k, v in league.rules.items() if k != "counts"})


def _round_said(row: RoundRead) -> dict[str, Any]:
    bulletin = row.bulletin if row.counted else None
    return {
        "number": row.number,
        "match": row.match.name,
        "slug": row.match.slug,
        "date": row.match.date.isoformat(),
        "state": row.state.value,
        "weight_unit": row.match.weight_unit,
        "entrants": len(row.entries),
        "bulletin": bulletin.number if bulletin else None,
        "digest": bulletin.digest if bulletin else None,
        "confirmed": bulletin.confirmed if bulletin else None,
    }


def _row_said(row: dict[str, Any], league: League, named: Named) -> dict[str, Any]:
    said = {**row, "name": named.names[row["id"]]}
    if league.of == LeagueOf.ANGLERS:
        said["team"] = named.teams[row["id"]]
    return said


def table_said(body: dict[str, Any]) -> dict[str, Any]:
    """What a reader learns from a table: of two that say the same, one is not worth making.

    Which bulletin a round was read from is no part of it while the round is as it was.
    """
    rounds = [
        {k: v for k, v in r.items() if k not in ("bulletin", "digest")} for r in body["rounds"]
    ]
    said = {k: v for k, v in body.items() if k not in SAID_OF_THE_TABLE}
    return {**said, "rounds": rounds}


def table_changes(before: dict[str, Any], after: dict[str, Any]) -> list[dict[str, Any]]:
    """Who moved or scored otherwise: rank and total before and after, and the rounds that differ.

    Those new in the table have no rank and total before; those gone from it none after.
    """
    old = {row["id"]: row for row in before["table"]}
    new = {row["id"]: row for row in after["table"]}
    return [
        change
        for key in [*new, *(k for k in old if k not in new)]
        if (change := _row_change(key, old.get(key), new.get(key))) is not None
    ]


def _row_change(
    key: str, old: dict[str, Any] | None, new: dict[str, Any] | None
) -> dict[str, Any] | None:
    keys = ("rank", "total")
    was = {k: old[k] for k in keys} if old else None
    now = {k: new[k] for k in keys} if new else None
    rounds = _rounds_changed(old, new)
    if was == now and not rounds:
        return None
    name = (new or old or {})["name"]
    return {"id": key, "name": name, "before": was, "after": now, "rounds": rounds}


def _rounds_changed(old: dict[str, Any] | None, new: dict[str, Any] | None) -> list[dict[str, Any]]:
    keys = ("points", "status", "counts")
    was, now = (
        {r["round"]: {k: r[k] for k in keys} for r in row["rounds"]} if row else {}
        for row in (old, new)
    )
    return [
        {"round": number, "before": was.get(number), "after": now.get(number)}
        for number in sorted({*was, *now}, key=int)
        if was.get(number) != now.get(number)
    ]
