"""Where each feed of a plan would go in, reckoned from what was measured before."""

from __future__ import annotations

from collections.abc import Sequence
from statistics import fmean

from bait.reckon.feed_tests import FeedTest, feed_test_chosen
from bait.reckon.placement import Body, Feed, PlacementRequest, Swim, placement_work_out
from bait.reckon.placement.ranges import RANGES
from bait.reckon.placement.request import PROFILE_EXPONENT
from matches.models import Person
from matches.reads.swims_before import SwimMeasured

from .feed_tests import FeedTests
from .feed_throws import FedKind

#: Where nobody took the water's warmth (from memory).
USUAL_CELSIUS = 12.0
#: A firm ball with soil, kg/m³ (from memory).
BALL_DENSITY = 1500.0


def tests_counting(
    person: Person, tests: FeedTests, feeds: Sequence[FedKind]
) -> dict[str, FeedTest]:
    """By bait, the jar test that counts for the person."""
    chosen = {}
    for feed in feeds:
        of_bait = [test for test in tests.tests if test.bait == feed.bait]
        aside = frozenset((m, a) for bait, m, a in tests.aside if bait == feed.bait)
        if test := feed_test_chosen(of_bait, own=person.pk, aside=aside):
            chosen[test.bait] = test
    return chosen


def throws_reckoned(
    swim: SwimMeasured, *, feeds: Sequence[FedKind], tests: dict[str, FeedTest]
) -> dict[str, float]:
    """Metres upstream by key: balls, and baits somebody timed in a jar; fish at the bed.

    Empty where the swim as noted is none the calculator takes.
    """
    speed, celsius = fmean(swim.speeds), swim.celsius
    within = (
        ("depth_m", swim.depth_m),
        ("surface_speed_m_s", speed),
        ("rig_settles_m", swim.settles_m),
    )
    if not all(float(RANGES[key][0]) <= value <= float(RANGES[key][1]) for key, value in within):
        return {}
    sinking = [Feed(feed.key, sinks) for feed in feeds if (sinks := _sinks(feed, tests))]
    asked = PlacementRequest(
        swim=Swim(
            depth_m=swim.depth_m,
            speed=speed,
            exponent=PROFILE_EXPONENT,
            celsius=USUAL_CELSIUS if celsius is None else celsius,
            fish_depth_m=swim.depth_m,
        ),
        rig_settles_m=swim.settles_m,
        feeds=tuple(sinking),
    )
    return {placed.name: -placed.throw_m for placed in placement_work_out(asked).feeds}


def _sinks(feed: FedKind, tests: dict[str, FeedTest]) -> Body | float | None:
    if feed.ball_mm is not None:
        return Body("ball", feed.ball_mm / 1000, BALL_DENSITY)
    test = tests.get(feed.bait or "")
    return test.sinks.mean if test and test.sinks else None
