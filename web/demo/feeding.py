"""What the invented members mean to feed."""

from __future__ import annotations

from typing import Any

from bait.models import Plan
from bait.writes.plan_content import plan_content_parse
from bait.writes.plans import plan_save
from matches.models import Entry, Match, Person

# One row a member, over and over: litres of mix and soil, then pints of hemp and pinkie in the
# opening balls, hundredths of a pint of caster and maggot a throw, percent spare.
STYLES = (
    (6, 4, "1", "0.5", 5, 0, 10),
    (5, 3, "1.5", "0.25", 6, 0, 0),
    (7, 4, "0.5", "0.5", 4, 3, 10),
    (4, 2, "1", "0", 5, 4, 20),
    (8, 5, "1", "0.5", 0, 8, 0),
    (6, 3, "1.25", "0.25", 7, 0, 5),
    (5, 4, "0.75", "0.5", 5, 2, 10),
    (6, 2, "1", "0.75", 4, 4, 0),
)


def plans_write(captain: Person, *, match: Match, team: str) -> None:
    """A plan for each entry of the team that has none yet, written by its captain."""
    entries = Entry.objects.filter(match=match, team__name=team).order_by("pk")
    for n, entry in enumerate(entries.select_related("angler")):
        if not Plan.objects.filter(entry=entry).exists():
            content = plan_content_parse(_plan(STYLES[n % len(STYLES)]))
            plan_save(captain, entry=entry, content=content)


def _plan(style: tuple[int, int, str, str, int, int, int]) -> dict[str, Any]:
    mix, soil, hemp, pinkie, caster, maggot, spare = style
    opening = [("river-mix", str(mix), "L"), ("soil", str(soil), "L"), ("hemp", hemp, "pint")]
    if pinkie != "0":
        opening.append(("pinkie", pinkie, "pint"))
    loose = [(k, f"0.{n:02d}", "pint") for k, n in (("caster", caster), ("maggot", maggot)) if n]
    return {
        "version": 0,
        "spare_percent": spare,
        "note": "Start on the long line and rest it after an hour.",
        "stages": [
            _stage("opening", "long", (-5, 0), None, opening),
            _stage("feed", "long", (0, 120), 360, loose),
            _stage("top_up", "long", (150, 150), None, [("river-mix", "1", "L")]),
            _stage("switch", "short", (180, 270), 600, loose),
        ],
    }


def _stage(
    kind: str,
    line: str,
    minutes: tuple[int, int],
    every: int | None,
    feeds: list[tuple[str, str, str]],
) -> dict[str, Any]:
    return {
        "kind": kind,
        "line": line,
        "start_minute": minutes[0],
        "end_minute": minutes[1],
        "every_seconds": every,
        "note": "",
        "feeds": [{"bait": bait, "amount": amount, "unit": unit} for bait, amount, unit in feeds],
    }
