"""Whose jar test of a feed counts, and what it says: the same in both languages."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest

from bait.reckon.feed_tests import DROPS_MOST, Drop, FeedTest, feed_test_chosen

CASES = json.loads((Path(__file__).parents[1] / "cases" / "feed_tests.json").read_text())


@pytest.mark.parametrize("case", CASES, ids=lambda case: case["why"])
def test_the_test_that_counts_and_what_it_says_are_as_written(case: dict[str, Any]) -> None:
    tests = [
        FeedTest(**{**test, "drops": tuple(Drop(*drop) for drop in test["drops"])})
        for test in case["tests"]
    ]
    aside = frozenset((match, author) for match, author in case["aside"])
    for order in (tests, tests[::-1]):
        chosen = feed_test_chosen(order, own=case["own"], aside=aside)
        assert (chosen and [chosen.match, chosen.author]) == case["chosen"]
        assert bool(chosen and chosen.floats) is case["floats"]
        sinks = chosen.sinks if chosen else None
        if case["mean"] is None:
            assert sinks is None
        else:
            assert sinks is not None
            assert sinks.mean == pytest.approx(case["mean"], rel=1e-12)
            assert sinks.sd == pytest.approx(case["sd"], rel=1e-12, abs=1e-15)


def test_of_a_thousand_drops_the_last_hundred_count() -> None:
    early, late = Drop(30, 3_000), Drop(30, 6_000)
    many = FeedTest("caster", 1, 7, "2026-06-20", (early,) * 900 + (late,) * DROPS_MOST)
    assert many.sinks is not None
    assert many.sinks.mean == pytest.approx(0.05, rel=1e-12)
