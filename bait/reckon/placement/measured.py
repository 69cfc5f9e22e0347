"""What was timed at the water: a float over a measured run, a feed through a jar."""

from __future__ import annotations

import statistics
from collections.abc import Sequence
from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Timed:
    """The mean speed in m/s, and how far single tries stray from it (0 after only one)."""

    mean: float
    sd: float


def speed_timed(*, metres: float, seconds: Sequence[float]) -> Timed:
    """The speed of what took these seconds for the same way, once or several times."""
    speeds = [metres / each for each in seconds]
    sd = statistics.stdev(speeds) if len(speeds) > 1 else 0.0
    return Timed(statistics.fmean(speeds), sd)
