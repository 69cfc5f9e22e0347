"""How warm a venue's water was and how fast it ran, as a person and their team measured it."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass
from statistics import median

from matches.models import Entry, FactKind, Person

from .mates import facts_shared

NOTES_READ = 400
#: Days of the year that are about as warm.
ALIKE_DAYS = 30
YEAR_DAYS = 365


@dataclass(frozen=True, slots=True)
class WaterMeasured:
    """The middle of what was measured, and how often: tenths of a degree Celsius at about the
    time of the year, centimetres a second of surface; None where nobody did. `by_match`: the
    warmth at each match, at this venue or another.
    """

    celsius_tenths: int | None
    celsius_times: int
    cm_s: int | None
    cm_s_times: int
    by_match: dict[int, int]


def water_measured(person: Person, *, entry: Entry) -> WaterMeasured:
    """Up to the entry's day, by the person and their team mates. One query."""
    match = entry.match
    notes = (
        facts_shared(person, club=match.club)
        .filter(kind=FactKind.PEG_NOTE, match__date__lte=match.date)
        .order_by("-match__date", "-cseq")
        .values_list("match_id", "match__date", "match__venue_id", "body")[:NOTES_READ]
    )
    warm: list[int] = []
    speeds: list[float] = []
    by_match: dict[int, list[int]] = {}
    for at, day, venue, body in notes:
        tenths, run = body.get("celsius_tenths"), body.get("float_run")
        if tenths is not None:
            by_match.setdefault(at, []).append(tenths)
            if venue == match.venue_id and _days_apart(day, match.date) <= ALIKE_DAYS:
                warm.append(tenths)
        if run and venue == match.venue_id:
            speeds.append(run["distance_cm"] * 1000 / run["ms"])
    return WaterMeasured(
        celsius_tenths=round(median(warm)) if warm else None,
        celsius_times=len(warm),
        cm_s=round(median(speeds)) if speeds else None,
        cm_s_times=len(speeds),
        by_match={at: round(median(found)) for at, found in by_match.items()},
    )


def _days_apart(one: dt.date, other: dt.date) -> int:
    """Days between two days of the year, whichever years they are of."""
    apart = abs((one - other).days) % YEAR_DAYS
    return min(apart, YEAR_DAYS - apart)
