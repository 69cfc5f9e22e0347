"""A bulletin's body made ready for the page: strips, and changes in words."""

from __future__ import annotations

from typing import Any

from django.utils.translation import gettext as _

from matches.models import Draw, EntryStatus, Match
from matches.reads.board import PegsHeld, draws_public, pegs_held
from matches.reckon.draw import draw_parse, draw_work_out
from matches.reckon.errors import BadInput
from matches.reckon.weights import weight_text
from web.river_strip import StripPeg, river_strips

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
    return bool(change["kind"] != "team" and change["what"] not in FOLLOWS)


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
    }
    return words.get(key, key.replace("_", " "))


def _value(key: str, value: Any, unit: str) -> str:
    if value is None or value == "":
        return _("none")
    if key in ("fish", "species") and isinstance(value, list):
        return ", ".join(_species(row) for row in value)
    if key in ("weight", "net_cap", "counted_weight") and isinstance(value, int):
        return weight_text(value, unit=unit)  # type: ignore[arg-type]
    if key == "status" and value in EntryStatus.values:
        return str(EntryStatus(value).label)
    if key == "draw" and isinstance(value, dict):
        return _("draw %(n)s") % {"n": value.get("number", "")}
    return str(value)


def _species(row: Any) -> str:
    """ "12 Roach" of a count; "Roach 1" of a species and its points."""
    return f"{row['name']} {row['points']}" if isinstance(row, dict) else f"{row[1]} {row[0]}"


def draws_shown(match: Match) -> list[dict[str, Any]]:
    """A match's draws for the page, oldest first."""
    held = pegs_held(match)
    return [_draw_shown(d, sits=held.get(d.pk)) for d in draws_public(match)]


def _draw_shown(draw: Draw, *, sits: PegsHeld | None) -> dict[str, Any]:
    """A draw's seed only once it was held. `checks`: the seed gives the commitment, and the lists
    give the pegs people sit at (of an earlier draw nobody sits anywhere any more)."""
    shown: dict[str, Any] = {"draw": draw, "held": draw.drawn_at is not None}
    if draw.drawn_at is None:
        return shown
    try:
        answer = draw_work_out(draw_parse({**draw.asked, "seed": draw.seed}))
    except BadInput:  # a draw kept without its lists
        return {**shown, "seed": draw.seed, "checks": False}
    bank = {
        (section["id"], peg): (first, then)
        for first, section in enumerate(draw.asked["sections"])
        for then, peg in enumerate(section["pegs"])
    }
    drawn = {a.angler: (a.section, a.peg) for a in answer.assignments}
    return {
        **shown,
        "seed": draw.seed,
        "checks": answer.commitment == draw.commitment and (sits is None or sits.follows(drawn)),
        "assignments": sorted(answer.assignments, key=lambda a: bank[a.section, a.peg]),
        "now": _sits_now(drawn, sits=sits),
    }


def _sits_now(drawn: dict[str, tuple[str, str]], *, sits: PegsHeld | None) -> dict[str, str]:
    """By the entry drawn who sits there instead, "" for nobody; who sits there is left out."""
    if sits is None:
        return {}
    now = {entry: sits.pegs.get(place) for entry, place in drawn.items()}
    return {
        entry: held.entry if held else ""
        for entry, held in now.items()
        if held is None or held.entry != entry
    }
