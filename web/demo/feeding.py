"""What the invented members mean to feed, and what the match allows."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from bait.models import Plan
from bait.reckon.limit_presets import CERTAINTY
from bait.writes.limits import limits_raw, limits_save, limits_version
from bait.writes.plan_content import plan_content_parse
from bait.writes.plan_templates import template_keep
from bait.writes.plans import plan_save
from bait.writes.throw_sizes import throw_measure
from matches.models import Entry, Match, Person, Team

from .meetings import LIMITS_SOURCE


@dataclass(frozen=True, slots=True)
class Style:
    """How one member fishes: bags of mix and crumb, litres of soil, opening balls, pints of hemp
    and of pinkie or dead maggot in them, what is thrown how often, spare percent."""

    mix: int
    crumb: int
    soil: int
    balls: int
    hemp: str
    pinkie: str
    dead: str
    caster: int
    maggot: int
    spare: int
    worm: bool = False


# One a member, over and over. The fifth has more animal bait than the match allows.
STYLES = (
    Style(3, 1, 4, 10, "1", "0.5", "0", 2, 0, 10),
    Style(2, 1, 3, 8, "1.5", "0", "0.5", 1, 1, 0, worm=True),
    Style(3, 1, 4, 12, "0.5", "0.5", "0", 1, 1, 10),
    Style(2, 0, 2, 7, "1", "0", "0.5", 2, 0, 20),
    Style(4, 1, 5, 14, "1", "1", "0.5", 2, 2, 0),
    Style(3, 0, 3, 9, "1.25", "0.25", "0", 2, 0, 5, worm=True),
    Style(2, 1, 4, 8, "0.75", "0", "0.5", 1, 1, 10),
    Style(3, 0, 2, 8, "1", "0.75", "0", 1, 1, 0),
)


def plans_write(captain: Person, *, match: Match, team: str) -> None:
    """A plan for each entry of the team that has none yet, written by its captain."""
    entries = Entry.objects.filter(match=match, team__name=team).order_by("pk")
    for n, entry in enumerate(entries.select_related("angler", "match__club", "team")):
        if not Plan.objects.filter(entry=entry).exists():
            content = plan_content_parse(plan_raw(STYLES[n % len(STYLES)]))
            plan_save(captain, entry=entry, content=content)


def template_write(captain: Person, *, team: Team) -> None:
    """What a newcomer of the team starts from."""
    template_keep(
        captain, team=team, name="River opening, steady flow", content=plan_raw(STYLES[0])
    )


def throws_measure(captain: Person, *, match: Match) -> None:
    """Maud and Wilmot measured theirs with a cup of half a litre; the others go by memory."""
    for name, throw, bait, cup_ml, throws in (
        ("Maud Ferris", "pouch", "caster", 500, 21),
        ("Maud Ferris", "handful", "", 500, 6),
        ("Wilmot Crane", "pouch", "", 500, 19),
    ):
        entry = Entry.objects.select_related("angler", "match__club", "team").get(
            match=match, angler__name=name
        )
        throw_measure(captain, entry=entry, throw=throw, bait=bait, cup_ml=cup_ml, throws=throws)


def limits_set(secretary: Person, *, match: Match) -> None:
    """The club's own parts beside the two wholes: larvae are banned, worms limited."""
    raw = limits_raw(match)
    part = {"counts": "animal", "bait": "", "use": "any", "form": "any", "source": LIMITS_SOURCE}
    worms = f"Polish federation 2023, 7.7.9 ({CERTAINTY['A-']})"
    new = {
        **raw,
        "parts": [
            {**part, "name": "Chironomid larvae", "family": "larvae", "allowed_l": "0"},
            {
                **part,
                "name": "Worms, uncut",
                "family": "worm",
                "allowed_l": "0.5",
                "source": worms,
            },
        ],
    }
    limits_save(secretary, match=match, raw=new, version=limits_version(raw))


def plan_raw(style: Style) -> dict[str, Any]:
    """The plan as it is sent in."""
    loaded = [("hemp", style.hemp), ("pinkie", style.pinkie), ("dead-maggot", style.dead)]
    thrown = [("caster", style.caster), ("maggot", style.maggot)]
    hook = [("maggot", "0.25", "pint"), *([("worm", "0.2", "L")] if style.worm else [])]
    return {
        "version": 0,
        "spare_percent": style.spare,
        "note": "Start on the long line and rest it after an hour.",
        "mixes": [_mix(style)],
        "stages": [
            _stage(
                "opening",
                "long",
                (-5, 0),
                feeds=[(bait, amount, "pint") for bait, amount in loaded if amount != "0"],
                balls=(style.balls, 80),
            ),
            _stage("feed", "long", (5, 120), every=600, feeds=_pouches(thrown)),
            _stage("top_up", "long", (150, 150), feeds=[("caster", "0.1", "pint")], balls=(2, 60)),
            _stage("switch", "short", (180, 270), every=900, feeds=_pouches(thrown)),
            _stage("hook", "", (0, 300), feeds=hook),
        ],
        "substitutes": [{"bait": "pinkie", "instead": "maggot"}],
    }


def _pouches(thrown: list[tuple[str, int]]) -> list[tuple[str, str, str]]:
    return [(bait, str(n), "pouch") for bait, n in thrown if n]


def _mix(style: Style) -> dict[str, Any]:
    """Groundbait by the bag, wetted and rested, soil after the rest. The figures are common
    practice, no source."""
    bags = [("river-mix", style.mix), ("dark-crumb", style.crumb)]
    return {
        "name": "base",
        "water_per_dry": "0.45",
        "rest_minutes": 25,
        "swell": "1",
        "squeeze": "0.7",
        "packing": "0.6",
        "film_mm": "0.4",
        "parts": [
            *(
                {"bait": bait, "amount": str(n), "unit": "bag", "after_rest": False}
                for bait, n in bags
                if n
            ),
            {"bait": "soil", "amount": str(style.soil), "unit": "L", "after_rest": True},
        ],
    }


def _stage(
    kind: str,
    line: str,
    minutes: tuple[int, int],
    *,
    feeds: list[tuple[str, str, str]],
    every: int | None = None,
    balls: tuple[int, int] | None = None,
) -> dict[str, Any]:
    return {
        "kind": kind,
        "line": line,
        "start_minute": minutes[0],
        "end_minute": minutes[1],
        "every_seconds": every,
        "note": "",
        "balls": balls and {"count": balls[0], "mm": balls[1], "mix": "base"},
        "feeds": [{"bait": bait, "amount": amount, "unit": unit} for bait, amount, unit in feeds],
    }
