"""A result as plain text for a message: first places, teams, and where everything is."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator
from typing import Any

from django.utils.formats import date_format
from django.utils.translation import gettext as _

from matches.models import Bulletin
from matches.times import zone_named
from web.measures_said import numeral, weight_said

from .pools_said import pools_said

FIRST = 3


def result_message(bulletin: Bulletin, *, address: str) -> str:
    """What the bulletin says, short enough for a message; `address` is its page."""
    body = bulletin.body
    parts = [_head(bulletin), _individuals(body), _teams(body), [*_sections(body), *_biggest(body)]]
    parts.append(list(_pools(body)))
    parts.append([_("Everything: %(address)s") % {"address": address}])
    return "\n\n".join("\n".join(lines) for lines in parts if lines) + "\n"


def first_of(rows: list[dict[str, Any]]) -> list[dict[str, Any]]:
    """Those ranked first to third, with whoever shares the last of these ranks."""
    return [row for row in rows if row["rank"] and row["rank"] <= FIRST]


def status_line(bulletin: Bulletin) -> str:
    """ "Bulletin 2, provisional: objections until 15:42"; of a confirmed one only that."""
    words = {"n": bulletin.number}
    if bulletin.confirmed:
        return _("Bulletin %(n)s, confirmed") % words
    until = bulletin.objections_until
    if until is None:
        return _("Bulletin %(n)s, provisional") % words
    local = until.astimezone(zone_named(bulletin.body["match"]["timezone"]))
    return _("Bulletin %(n)s, provisional: objections until %(until)s") % {
        **words,
        "until": f"{local:%H:%M}",
    }


def place_line(body: dict[str, Any]) -> str:
    """Venue, water and day."""
    of = body["match"]
    day = date_format(dt.date.fromisoformat(of["date"]), "j F Y")
    return ", ".join(part for part in (of["venue"], of["water"], day) if part)


def said_of(row: dict[str, Any], body: dict[str, Any]) -> str:
    """What somebody came to: points of fish where these are scored, and the weight."""
    weight = weight_said(row["weight"], body["weight_unit"])
    if row.get("score") is None:
        return weight
    return _("%(points)s points of fish, %(weight)s") % {
        "points": numeral(str(row["score"])),
        "weight": weight,
    }


def _head(bulletin: Bulletin) -> list[str]:
    of = bulletin.body["match"]
    return [of["name"], of["club"], place_line(bulletin.body), status_line(bulletin)]


def _individuals(body: dict[str, Any]) -> list[str]:
    rows = [
        f"{row['rank']}. {_with_team(row)}, {said_of(row, body)}"
        for row in first_of(body["individuals"])
    ]
    return [_("Over all sections"), *rows] if rows else []


def _teams(body: dict[str, Any]) -> list[str]:
    rows = [
        _("%(rank)s. %(team)s, %(points)s points") % {**row, "points": numeral(str(row["points"]))}
        for row in first_of(body["teams"])
    ]
    return [_("Teams"), *rows] if rows else []


def _sections(body: dict[str, Any]) -> Iterator[str]:
    """Who won each section; of equals all."""
    for section in body["sections"]:
        placed = [e for e in section["entries"] if e["place"] and e["weight"] is not None]
        best = [e for e in placed if e["place"] == placed[0]["place"]]
        if best:
            names = ", ".join(
                _("%(who)s (peg %(peg)s, %(said)s)")
                % {"who": e["angler"], "peg": e["peg"], "said": said_of(e, body)}
                for e in best
            )
            yield _("Section %(label)s: %(names)s") % {"label": section["label"], "names": names}


def _biggest(body: dict[str, Any]) -> Iterator[str]:
    if (biggest := body["biggest"]) is not None:
        weight = weight_said(biggest["weight"], body["weight_unit"])
        yield _("Biggest weight: %(who)s, %(weight)s") % {
            "who": biggest["angler"],
            "weight": weight,
        }


def _pools(body: dict[str, Any]) -> Iterator[str]:
    """Who won what, pool by pool, once it is known."""
    for pool in pools_said(body):
        names = ", ".join(f"{row['who']} {row['sum']}" for row in pool["rows"])
        if names:
            yield _("%(pool)s: %(names)s") % {"pool": pool["name"], "names": names}


def _with_team(row: dict[str, Any]) -> str:
    return f"{row['angler']} ({row['team']})" if row["team"] else str(row["angler"])
