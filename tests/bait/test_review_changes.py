"""When a catch changed: what must hold of the stretches found."""

from __future__ import annotations

import math
import random
from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from bait.reckon.review import Fish, blocks_find, changes_between

HOURS = 5
END = HOURS * 3600.0
CATCHES = st.lists(
    st.builds(Fish, second=st.integers(0, int(END)).map(float), count=st.integers(1, 5)),
    max_size=80,
)


def caught(*rates: tuple[float, float, float], seed: int = 1) -> list[Fish]:
    """Fish as they come by chance: `(from, to, an hour)` each."""
    chance, fish = random.Random(seed), []
    for start, end, per_hour in rates:
        at = start
        while (at := at + chance.expovariate(per_hour / 3600)) < end:
            fish.append(Fish(at))
    return fish


@given(CATCHES)
def test_stretches_cover_the_match_and_hold_every_fish(fish: list[Fish]) -> None:
    blocks = blocks_find(fish, start=0, end=END)
    assert blocks[0].start == 0
    assert blocks[-1].end == END
    assert all(one.end == other.start for one, other in pairwise(blocks))
    assert all(block.start < block.end for block in blocks)
    assert sum(block.fish for block in blocks) == sum(one.count for one in fish)
    changes = changes_between(blocks, fish)
    assert len(changes) == len(blocks) - 1
    for change in changes:
        assert 0 <= change.second_90[0] <= change.second <= change.second_90[1] <= END
        assert 0 <= change.ratio_90[0] < change.ratio_90[1] < math.inf


def test_no_fish_and_one_fish_are_one_stretch() -> None:
    (none,) = blocks_find([], start=0, end=END)
    assert (none.fish, none.per_hour) == (0, 0)
    assert none.per_hour_90[1] < 1
    (one,) = blocks_find([Fish(400)], start=0, end=END)
    assert (one.fish, one.per_hour) == (1, pytest.approx(1 / HOURS))


def test_fish_that_came_threefold_are_found_about_when_they_did() -> None:
    fish = caught((0, 9_000, 8), (9_000, END, 26))
    (change,) = changes_between(blocks_find(fish, start=0, end=END), fish)
    assert change.second_90[0] <= 9_000 <= change.second_90[1]
    assert change.second_90[1] - change.second_90[0] < 1_800
    assert change.ratio is not None
    assert change.ratio_90[0] < 26 / 8 < change.ratio_90[1]


def test_a_catch_that_began_late_has_no_factor() -> None:
    fish = [Fish(9_000 + 90.0 * n) for n in range(60)]
    changes = changes_between(blocks_find(fish, start=0, end=END), fish)
    assert changes[0].ratio is None or changes[0].ratio > 20
    assert changes[0].ratio_90[0] > 5


@pytest.mark.parametrize("per_hour", [4.0, 30.0])
def test_a_steady_catch_is_cut_about_once_in_twenty_times(per_hour: float) -> None:
    """What a block must earn was set so by its authors; a tenth is already too often."""
    cut = 0
    for seed in range(200):
        fish = caught((0, END, per_hour), seed=seed)
        cut += len(blocks_find(fish, start=0, end=END)) > 1
    assert cut <= 20


@pytest.mark.parametrize("second", [-1.0, END + 1])
def test_fish_outside_the_match_are_refused(second: float) -> None:
    with pytest.raises(ValueError, match="from start to end"):
        blocks_find([Fish(second)], start=0, end=END)
