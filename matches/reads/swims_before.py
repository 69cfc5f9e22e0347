"""The swims of a venue as a person and their team measured them."""

from __future__ import annotations

import datetime as dt
from collections import defaultdict
from dataclasses import dataclass
from typing import Any

from matches.models import Entry, FactKind, Person

from .mates import facts_shared
from .water_before import NOTES_READ


@dataclass(frozen=True, slots=True)
class SwimMeasured:
    """A peg on one day: metres deep, each float run's speed in m/s, metres downstream at which the
    rig settled, and the water's warmth in °C where somebody took it.
    """

    match: int
    date: dt.date
    peg: str
    depth_m: float
    speeds: tuple[float, ...]
    settles_m: float
    celsius: float | None


def swims_measured(person: Person, *, entry: Entry) -> list[SwimMeasured]:
    """Of the entry's venue up to its day, newest first: pegs of which depth, flow and where the rig
    settles were all noted. One query.
    """
    facts = facts_shared(person, club=entry.match.club).filter(
        kind=FactKind.PEG_NOTE,
        match__venue=entry.match.venue_id,
        match__date__lte=entry.match.date,
    )
    newest = facts.select_related("match").order_by("-match__date", "-cseq")
    notes: dict[tuple[int, dt.date, str], list[dict[str, Any]]] = defaultdict(list)
    for fact in newest[:NOTES_READ]:
        notes[fact.match_id, fact.match.date, fact.peg].append(fact.body)
    found = (_swim(*key, bodies=bodies) for key, bodies in notes.items() if key[2])
    return [swim for swim in found if swim is not None]


def _swim(
    match: int, date: dt.date, peg: str, *, bodies: list[dict[str, Any]]
) -> SwimMeasured | None:
    """`bodies` are newest first: of each figure the newest counts, and of float runs all."""

    def latest(key: str) -> int | None:
        return next((body[key] for body in bodies if body.get(key) is not None), None)

    depth, settles, tenths = (
        latest(key) for key in ("depth_cm", "rig_settles_cm", "celsius_tenths")
    )
    runs = [body["float_run"] for body in bodies if body.get("float_run")]
    if not depth or settles is None or not runs:
        return None
    return SwimMeasured(
        match=match,
        date=date,
        peg=peg,
        depth_m=depth / 100,
        speeds=tuple(run["distance_cm"] * 10 / run["ms"] for run in runs),
        settles_m=settles / 100,
        celsius=None if tenths is None else tenths / 10,
    )
