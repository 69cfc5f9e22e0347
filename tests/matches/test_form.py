"""Drawing means towards the mean of all: what must hold, and how often the intervals hold."""

from __future__ import annotations

import random

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from matches.reckon.form import Seen, form_of
from matches.reckon.form_within import SeenWithin, form_within

GROUPS = st.lists(
    st.builds(Seen, mean=st.floats(-5, 5), variance=st.floats(0.01, 9)), min_size=4, max_size=12
)


@given(GROUPS)
def test_everybody_lies_between_what_was_seen_and_the_mean_of_all(seen: list[Seen]) -> None:
    form = form_of(seen)
    assert form is not None
    for one, believed in zip(seen, form.groups, strict=True):
        assert 0 <= believed.drawn <= 1
        low, high = sorted((one.mean, form.centre))
        assert low - 1e-9 <= believed.value <= high + 1e-9
        assert believed.low < believed.value < believed.high


def test_what_was_seen_seldom_is_drawn_in_the_most() -> None:
    form = form_of([Seen(3, 4), Seen(3, 0.2), Seen(-2, 1), Seen(-3, 1), Seen(0, 1), Seen(-1, 1)])
    assert form is not None
    seldom, often = form.groups[:2]
    assert seldom.drawn > 2 * often.drawn
    assert seldom.value < often.value


def test_groups_that_differ_no_more_than_luck_makes_them_are_nearly_one() -> None:
    form = form_of([Seen(mean, 1.0) for mean in (-0.5, -0.2, 0.0, 0.1, 0.3, 0.3)])
    assert form is not None
    assert form.spread == 0
    assert max(abs(one.value - form.centre) for one in form.groups) < 0.25


def test_of_three_groups_nothing_is_said() -> None:
    assert form_of([Seen(1, 1), Seen(2, 1), Seen(9, 1)]) is None


def test_a_mean_without_luck_is_refused() -> None:
    with pytest.raises(ValueError, match="variance"):
        form_of([Seen(1, 1), Seen(2, 1), Seen(9, 0), Seen(2, 1)])


@pytest.mark.parametrize("spread", [0.5, 1.0, 4.0])
def test_nine_intervals_in_ten_hold_the_truth(spread: float) -> None:
    """Groups made with known truth: 90 % intervals hold it 90 ± 3 times in a hundred, or more where
    groups hardly differ."""
    chance, held, of = random.Random(7), 0, 0
    for _ in range(300):
        truth = [chance.gauss(2, spread**0.5) for _ in range(15)]
        variances = [chance.uniform(0.3, 3) for _ in truth]
        seen = [
            Seen(chance.gauss(t, variance**0.5), variance)
            for t, variance in zip(truth, variances, strict=True)
        ]
        form = form_of(seen)
        assert form is not None
        held += sum(g.low <= t <= g.high for g, t in zip(form.groups, truth, strict=True))
        of += len(truth)
    assert 0.87 <= held / of <= (0.96 if spread < 1 else 0.93)


@pytest.mark.parametrize(("groups", "conditions"), [(0.1, 0.1), (0.2, 0.1), (0.2, 0.2)])
def test_nine_intervals_in_ten_hold_the_truth_under_a_condition(
    groups: float, conditions: float
) -> None:
    """Twenty groups under four conditions each, seen two to eight times: 90 ± 3 in a hundred."""
    chance, held, of = np.random.default_rng(1), 0, 0
    for _ in range(30):
        own = 0.5 + groups * chance.standard_normal((20, 1))
        truth = own + conditions * chance.standard_normal((20, 4))
        luck = 0.1 / chance.integers(2, 9, truth.shape)
        mean = truth + np.sqrt(luck) * chance.standard_normal(truth.shape)
        found = form_within(
            [
                SeenWithin(str(g), str(c), float(mean[g, c]), float(luck[g, c]))
                for g, c in np.ndindex(truth.shape)
            ],
            most=0.5,
        )
        assert found is not None
        held += sum(b.low <= t <= b.high for b, t in zip(found, truth.flat, strict=True))
        of += truth.size
    assert 0.87 <= held / of <= 0.93


def test_under_a_condition_it_lies_between_what_was_seen_there_and_the_groups_own_mean() -> None:
    seen = [SeenWithin(str(g), c, 0.3 + 0.1 * g, 0.01) for g in range(5) for c in ("low", "high")]
    seen[0] = SeenWithin("0", "low", 0.9, 0.01)
    found = form_within(seen, most=0.5)
    assert found is not None
    assert found[1].value < found[0].value < 0.9
    seldom = form_within([SeenWithin("0", "low", 0.9, 0.1), *seen[1:]], most=0.5)
    assert seldom is not None
    assert seldom[0].value < found[0].value
    assert seldom[0].drawn > found[0].drawn


def test_under_conditions_a_mean_without_luck_is_refused_and_three_groups_say_nothing() -> None:
    three = [SeenWithin(g, "low", 0.5, 0.01) for g in "abc"]
    assert form_within(three, most=0.5) is None
    with pytest.raises(ValueError, match="variance"):
        form_within([*three, SeenWithin("d", "low", 0.5, 0)], most=0.5)
