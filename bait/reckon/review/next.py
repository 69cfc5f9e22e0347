"""What a review changes in the next plan: only what it is sure enough of, with the reason."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

from bait.reckon.plans import HOOK, PlannedStage

from .day import DayReview, LineDay

#: From so likely on, and with so many fish, one line is called the better one.
SURE: Final = 0.8
FISH_LEAST: Final = 10
#: A line that was fished within so many minutes could not have been fished much earlier.
EARLY_MINUTES: Final = 30
#: Starts are moved to whole steps, halfway to the start of the match (common practice, no source).
STEP_MINUTES: Final = 5


@dataclass(frozen=True, slots=True)
class Earlier:
    """The stage at `place` begins at minute `now` instead of `was`: its line was the better one."""

    place: int
    was: int
    now: int
    better: LineDay
    other: LineDay


def better_line(day: DayReview) -> tuple[LineDay, LineDay] | None:
    """The line that was the better one, and the next best; None where that cannot be told."""
    ranked = sorted(
        (line for line in day.lines if line.best is not None),
        key=lambda line: line.best or 0,
        reverse=True,
    )
    if len(ranked) < 2 or day.fish < FISH_LEAST or (ranked[0].best or 0) < SURE:
        return None
    return ranked[0], ranked[1]


def stage_earlier(
    stages: Sequence[PlannedStage], day: DayReview, *, first_fished: int
) -> Earlier | None:
    """The better line's first stage of feed, brought halfway to the start of the match.

    `first_fished` is the minute at which that line was first fished. None where no line was better,
    or it was fished early, or the plan has no stage of it that begins later.
    """
    found = better_line(day)
    if found is None or first_fished <= EARLY_MINUTES:
        return None
    better, other = found
    own = [
        (stage.start_minute, place)
        for place, stage in enumerate(stages)
        if stage.line == better.name and stage.kind != HOOK and stage.start_minute >= 0
    ]
    if not own:
        return None
    was, place = min(own)
    before = [s.end_minute for s in stages if s.line == better.name and s.end_minute <= was]
    now = max([was // 2 // STEP_MINUTES * STEP_MINUTES, *before])
    return Earlier(place, was, now, better, other) if now < was else None
