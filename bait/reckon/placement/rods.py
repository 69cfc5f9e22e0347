"""A throw as an angler sees it: in lengths of the rod, and on a clock face laid on the water.

The angler stands straight across from where the rig goes in. Twelve o'clock is straight across,
three o'clock along the bank to the right, nine to the left (common practice, no source).
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from .request import Angler

_DEGREES_AN_HOUR = 30.0


@dataclass(frozen=True, slots=True)
class ThrowPoint:
    """Where a feed goes in: metres upstream of the rig's entry (below zero downstream), metres
    across from the angler's bank, metres from the angler; the first two in lengths of the rod too;
    and the hour on the clock face, above 0 and up to 12.
    """

    upstream_m: float
    across_m: float
    distance_m: float
    rods_upstream: float
    rods_across: float
    clock_h: float

    def as_json(self) -> dict[str, float]:
        return {
            "upstream_m": self.upstream_m,
            "across_m": self.across_m,
            "distance_m": self.distance_m,
            "rods_upstream": self.rods_upstream,
            "rods_across": self.rods_across,
            "clock_h": self.clock_h,
        }


def throw_point(throw_m: float, angler: Angler) -> ThrowPoint:
    """What `throw_m`, downstream of the rig's entry, is to the angler."""
    right = throw_m if angler.flows_to == "right" else -throw_m
    hour = math.degrees(math.atan2(right, angler.line_m)) / _DEGREES_AN_HOUR
    return ThrowPoint(
        upstream_m=-throw_m,
        across_m=angler.line_m,
        distance_m=math.hypot(throw_m, angler.line_m),
        rods_upstream=-throw_m / angler.rod_m,
        rods_across=angler.line_m / angler.rod_m,
        clock_h=hour if hour > 0 else hour + 12,
    )
