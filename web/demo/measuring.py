"""What one member measured before today's match: the swim, two feeds in a jar, and the throws."""

from __future__ import annotations

import datetime as dt
from typing import Any, Final

from matches.models import DrawnPeg, Match, Person

from .weighing import Phone

SWIM: Final[tuple[dict[str, Any], ...]] = (
    {"depth_cm": 210, "celsius_tenths": 84, "note": "Gravel, a shelf two rods out"},
    {"float_run": {"distance_cm": 1000, "ms": 27_400}},
    {"float_run": {"distance_cm": 1000, "ms": 29_100}},
    {"rig_settles_cm": 250, "rig_settles_ms": 7_300},
)
#: Of each bait the jar's centimetres of water, and the milliseconds of each drop.
JARS: Final = (
    ("caster", 30, (6_400, 7_100, 6_800, 6_200, 7_500)),
    ("hemp", 30, (3_900, 4_300, 4_100)),
)
THROWS: Final[tuple[dict[str, Any], ...]] = (
    {"bait": "caster", "upstream_cm": 900, "out_cm": 900, "rod_cm": 400},
    {"ball_mm": 80, "upstream_cm": -200, "out_cm": 900, "rod_cm": 400},
)
EARLIER_MIN: Final = 50


def swim_measure(person: Person, *, match: Match) -> None:
    """Note it all on the person's phone before the start, and send it."""
    phone = Phone(person, match=match)
    drawn = DrawnPeg.objects.select_related("section_peg__peg")
    peg = drawn.get(match=match, entry__angler__person=person).section_peg.peg.number
    drops = ({"bait": bait, "jar_cm": cm, "ms": ms} for bait, cm, all_ms in JARS for ms in all_ms)
    notes = [
        *(("peg_note", body) for body in SWIM),
        *(("feed_test", body) for body in drops),
        *(("feed_throw", body) for body in THROWS),
    ]
    for minute, (kind, body) in enumerate(notes, -EARLIER_MIN):
        phone.log(kind, peg=peg, body=body, at=match.start_at + dt.timedelta(minutes=minute))
    phone.send()
