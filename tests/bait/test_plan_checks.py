"""Stages that contradict each other or the match are refused, each where it stands."""

from __future__ import annotations

from fractions import Fraction as F

import pytest

from bait.reckon.plan_checks import stages_faults
from bait.reckon.plans import Balls, Feed, PlannedStage


def stage(
    start: int,
    end: int,
    *baits: str,
    kind: str = "feed",
    line: str = "long",
    every: int | None = None,
    balls: int = 0,
) -> PlannedStage:
    feeds = tuple(Feed(bait, F(1), "pint") for bait in baits)
    made = Balls(balls, 80, "base") if balls else None
    return PlannedStage(start, end, every, feeds, kind=kind, line=line, balls=made)


def faults(*stages: PlannedStage) -> list[str]:
    found = stages_faults(stages, length_minutes=300, names={"hemp": "Hemp"})
    return [fault.pointer for fault in found]


@pytest.mark.parametrize(
    ("before", "after"),
    [
        (stage(0, 100, "hemp"), stage(100, 200, "hemp")),  # one after the other
        (stage(0, 100, "hemp"), stage(50, 200, "hemp", line="short")),
        (stage(0, 100, "hemp"), stage(50, 200, "caster")),
        (stage(0, 100, "hemp"), stage(50, 50, "hemp", kind="top_up")),  # on top of the feed
        (stage(-10, 5, "hemp", kind="opening", balls=8), stage(0, 300, "hemp")),  # in balls
        (stage(0, 300, "hemp", kind="hook"), stage(0, 300, "hemp")),
        (stage(60, 60, "hemp"), stage(61, 61, "hemp")),
    ],
)
def test_stages_that_go_together_pass_in_either_order(
    before: PlannedStage, after: PlannedStage
) -> None:
    assert faults(before, after) == faults(after, before) == []


@pytest.mark.parametrize(
    ("before", "after"),
    [
        (stage(0, 100, "hemp"), stage(99, 200, "hemp")),
        (stage(0, 100, "hemp"), stage(20, 30, "caster", "hemp")),
        (stage(0, 100, "hemp"), stage(0, 100, "hemp", line="LONG")),
        (stage(60, 60, "hemp"), stage(60, 60, "hemp")),
        (stage(0, 60, "hemp", kind="top_up"), stage(30, 90, "hemp", kind="top_up")),
        (stage(0, 60, "hemp", kind="hook"), stage(30, 90, "hemp", kind="hook")),
        (stage(0, 60, "hemp", balls=3), stage(30, 90, "hemp", balls=3)),
        (stage(-10, 10, "hemp", kind="opening"), stage(0, 100, "hemp")),
    ],
)
def test_the_later_of_two_that_overlap_is_marked(before: PlannedStage, after: PlannedStage) -> None:
    assert faults(before, after) == faults(after, before) == ["/stages/1/start_minute"]


def test_an_overlap_is_said_with_the_stage_and_the_bait() -> None:
    (fault,) = stages_faults(
        [stage(0, 100, "hemp"), stage(50, 200, "hemp")], length_minutes=300, names={"hemp": "Hemp"}
    )
    assert fault.message == (
        "Stage 1 has Hemp on this line at the same time (minutes 0 to 100): start after it, "
        "change the line, or put both into one stage."
    )


def test_a_stage_may_end_half_an_hour_late_and_no_later() -> None:
    assert faults(stage(0, 330, "hemp")) == []
    assert faults(stage(0, 331, "hemp")) == ["/stages/0/end_minute"]


def test_balls_and_hook_baits_have_no_rhythm() -> None:
    assert faults(stage(0, 10, "hemp", balls=3, every=60)) == ["/stages/0/every_seconds"]
    assert faults(stage(0, 10, "hemp", kind="hook", every=60)) == ["/stages/0/every_seconds"]
    assert faults(stage(0, 10, "hemp", kind="hook", balls=3)) == ["/stages/0/balls"]
