"""A bulletin's body made ready for the page: strips, and changes in words."""

from __future__ import annotations

from typing import Any

from django.utils.translation import gettext as _

from matches.models import EntryStatus
from matches.reckon.money import pence_format
from matches.reckon.weights import WeightUnit
from web.measures_said import numeral, weight_said
from web.river_strip import StripPeg, river_strips

from .pools_said import pools_said

# The nets are the weight in parts; members counted follow from who weighed.
UNSAID = frozenset({"nets", "members", "counted", "section"})
# What moves by itself when somebody's weight or status is mended.
FOLLOWS = frozenset({"place", "points", "rank"})


def bulletin_shown(body: dict[str, Any]) -> dict[str, Any]:
    """What the page and the print show of one bulletin."""
    return {
        "body": body,
        "unit": body["weight_unit"],
        "strips": river_strips(_strip_pegs(body)),
        "changes": changes_shown(body),
        "with_teams": bool(body["teams"]),
        "pools": pools_said(body),
        "by_weight": by_weight(body),
    }


def by_weight(body: dict[str, Any]) -> list[tuple[int, dict[str, Any]]]:
    """Everybody with a weight that counts, by it alone, with their rank; equals share one."""
    rows = sorted((i for i in body["individuals"] if i["weight"]), key=lambda i: -i["weight"])
    first: dict[int, int] = {}
    for at, row in enumerate(rows, 1):
        first.setdefault(row["weight"], at)
    return [(first[row["weight"]], row) for row in rows]


def _strip_pegs(body: dict[str, Any]) -> list[StripPeg]:
    entries = {e["peg"]: e for s in body["sections"] for e in s["entries"]}
    return [
        StripPeg(
            peg=p["peg"],
            section=p["section"],
            angler=entries[p["peg"]]["angler"] if p["peg"] in entries else None,
            weight=entries[p["peg"]]["weight"] if p["peg"] in entries else None,
            status=entries[p["peg"]]["status"] if p["peg"] in entries else "entered",
        )
        for p in body["pegs"]
    ]


def changes_shown(body: dict[str, Any]) -> dict[str, list[dict[str, Any]]]:
    """The changes since the bulletin before, one row a peg or team: `mended` are those where
    something was corrected, `follow` those whose place or rank moved because of it."""
    rows: dict[str, dict[str, Any]] = {}
    for change in body.get("changes", []):
        if change["what"] in UNSAID or _says_a_place_twice(change, body):
            continue
        row = rows.setdefault(_where(change), {"where": _where(change), "parts": []})
        row["mended"] = row.get("mended", False) or _is_mended(change)
        row["parts"].append(
            {
                "what": _what(change["what"]),
                "before": _value(change["what"], change["before"], body["weight_unit"]),
                "after": _value(change["what"], change["after"], body["weight_unit"]),
            }
        )
    return {
        "mended": [row for row in rows.values() if row["mended"]],
        "follow": [row for row in rows.values() if not row["mended"]],
    }


def _says_a_place_twice(change: dict[str, Any], body: dict[str, Any]) -> bool:
    """An angler's points by the international rule are the place."""
    is_points = change["kind"] == "peg" and change["what"] == "points"
    return bool(is_points and body["scheme"] == "international")


def _is_mended(change: dict[str, Any]) -> bool:
    return bool(change["kind"] not in ("team", "pool") and change["what"] not in FOLLOWS)


def _where(change: dict[str, Any]) -> str:
    if change["kind"] == "peg":
        return _("Peg %(peg)s, %(who)s") % {"peg": change["where"], "who": change["who"]}
    return str(change["where"]) or _("The match")


def _what(key: str) -> str:
    words = {
        "place": _("place"),
        "points": _("points"),
        "weight": _("weight"),
        "status": _("status"),
        "angler": _("angler"),
        "team": _("team"),
        "peg": _("peg"),
        "section": _("section"),
        "rank": _("rank"),
        "counted": _("members counted"),
        "to_weigh": _("still to weigh"),
        "disagreements": _("still to settle"),
        "weight_unit": _("unit of weight"),
        "scheme": _("scoring"),
        "team_tie_breaks": _("tie-breaks"),
        "draw": _("draw"),
        "counted_weight": _("weight that counts"),
        "score": _("points of fish"),
        "fish": _("fish"),
        "net_cap": _("cap of a net"),
        "net_cap_rule": _("a net over the cap counts"),
        "scored_by": _("scored by"),
        "species": _("species"),
        "holds": _("holds"),
        "pays": _("pays"),
    }
    return words.get(key, key.replace("_", " "))


def _value(key: str, value: Any, unit: WeightUnit) -> str:
    if value is None or value == "":
        return _("none")
    if key == "holds" and isinstance(value, int):
        return numeral(pence_format(value))
    if key == "pays" and isinstance(value, list):
        return ", ".join(f"{who} {numeral(pence_format(pence))}" for who, pence in value) or _(
            "nobody yet"
        )
    if key in ("fish", "species") and isinstance(value, list):
        return ", ".join(_species(row) for row in value)
    if key in ("weight", "net_cap", "counted_weight") and isinstance(value, int):
        return weight_said(value, unit)
    if key == "status" and value in EntryStatus.values:
        return str(EntryStatus(value).label)
    if key == "draw" and isinstance(value, dict):
        return _("draw %(n)s") % {"n": value.get("number", "")}
    return str(value)


def _species(row: Any) -> str:
    """ "12 Roach" of a count; "Roach 1" of a species and its points."""
    return f"{row['name']} {row['points']}" if isinstance(row, dict) else f"{row[1]} {row[0]}"
