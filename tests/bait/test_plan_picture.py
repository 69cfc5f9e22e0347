"""How much of each bait is in by each minute."""

from __future__ import annotations

from fractions import Fraction as F

from bait.reckon.plan_picture import BaitCurve, plan_curves
from bait.reckon.plans import BaitFacts, Balls, Feed, MixPart, PlannedMix, PlannedStage

BAITS = {
    "hemp": BaitFacts("hemp", "particle", "L"),
    "base": BaitFacts("base", "groundbait", "L"),
}
MIX = PlannedMix("base", (MixPart("base", F(8), "L"),))


def stage(start: int, end: int, amount: str, *, every: int | None = None) -> PlannedStage:
    return PlannedStage(start, end, every, (Feed("hemp", F(amount), "L"),))


def balls(start: int, count: int, mm: int) -> PlannedStage:
    return PlannedStage(start, start, None, (), balls=Balls(count, mm, "base"))


def curve(*stages: PlannedStage, mix: bool = False) -> BaitCurve:
    (found,) = plan_curves(stages, baits=BAITS, mixes=[MIX] if mix else [])
    return found


def test_a_rhythm_goes_in_evenly_and_comes_to_its_throws() -> None:
    found = curve(stage(0, 100, "0.1", every=300))
    assert [found.by(m) for m in (-5, 0, 50, 100, 300)] == [0, 0, 1, 2, 2]
    assert found.corners == ((0, F(0)), (100, F(2)))


def test_what_goes_in_at_once_is_a_step_of_the_line() -> None:
    found = curve(stage(0, 100, "2"), stage(50, 50, "3"))
    assert found.corners == ((0, F(0)), (50, F(1)), (50, F(4)), (100, F(5)))
    assert found.total == 5


def test_a_mix_goes_in_with_its_balls_shared_by_their_volume() -> None:
    # 7 balls of 80 mm and one of twice the width: 7 to 8 parts.
    found = curve(balls(-10, 7, 40), balls(60, 1, 80), mix=True)
    assert (found.by(0), found.by(60), found.unplaced) == (F(56, 15), F(8), 0)


def test_a_mix_of_which_nobody_makes_balls_waits() -> None:
    found = curve(mix=True)
    assert (found.total, found.unplaced, found.corners) == (0, 8, ())
