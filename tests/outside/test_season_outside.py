"""The model of a season: against published figures, against statsmodels, and against chance."""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest
from statsmodels.regression.mixed_linear_model import MixedLM, VCSpec

from bait.reckon.season.effects import PRIOR_ANGLER, PRIOR_MATCH, PRIOR_PART, parts_of
from bait.reckon.season.mixed import Sums, solve, sums_of, without

#: Yield of dyestuff from six batches, five times each: O. L. Davies, P. L. Goldsmith (eds.),
#: Statistical Methods in Research and Production, 4th ed. 1972, table 6.3; numbers from memory.
DYESTUFF = (
    (1545, 1440, 1440, 1520, 1580),
    (1540, 1555, 1490, 1560, 1495),
    (1595, 1550, 1605, 1510, 1560),
    (1445, 1440, 1595, 1465, 1545),
    (1595, 1630, 1515, 1635, 1625),
    (1520, 1455, 1450, 1480, 1445),
)


def groups(which: Any) -> Any:
    return (np.asarray(which)[:, None] == np.unique(which)).astype(float)


def test_the_batches_of_dyestuff_come_out_as_published() -> None:
    """D. Bates, lme4: Mixed-effects modeling with R, 2010, section 1.3: batch 42.00, residual
    49.51, intercept 1527.50 with standard error 19.38, restricted criterion 319.6543."""
    batch = np.repeat(np.arange(6), 5)
    y = np.array(DYESTUFF, dtype=float).ravel()
    sums = sums_of(y, np.ones((30, 1)), [groups(batch)])
    ratio = 42.00 / 49.51
    found = solve(sums, [ratio])
    assert -2 * found.log_likelihood == pytest.approx(319.6543, abs=5e-5)
    assert found.variance**0.5 == pytest.approx(49.51, abs=0.01)
    assert (found.coefs[0], found.errors[0]) == pytest.approx((1527.5, 19.38), abs=0.005)
    beside = [solve(sums, [ratio * part]).log_likelihood for part in (0.97, 1.03)]
    assert found.log_likelihood > max(beside)


@pytest.mark.parametrize("seed", [1, 2])
def test_anglers_and_matches_crossed_come_out_as_in_statsmodels(seed: int) -> None:
    """`MixedLM` with both as variance components, by restricted likelihood."""
    chance = np.random.default_rng(seed)
    angler, match = np.repeat(np.arange(7), 9), np.tile(np.arange(9), 7)
    fixed = np.column_stack([np.ones(63), chance.normal(size=(63, 2))])
    y = fixed @ [0.2, 0.3, -0.1] + chance.normal(size=7)[angler] * 0.5
    y += chance.normal(size=9)[match] * 0.4 + chance.normal(size=63) * 0.6
    blocks = [groups(angler), groups(match)]
    names = [
        [f"{name}{n}" for n in range(block.shape[1])]
        for name, block in zip("am", blocks, strict=True)
    ]
    spec = VCSpec(["a", "m"], [[name] for name in names], [[block] for block in blocks])
    theirs = MixedLM(y, fixed, groups=np.ones(63), exog_vc=spec).fit(reml=True)
    ours = solve(sums_of(y, fixed, blocks), (theirs.vcomp / theirs.scale) ** 0.5)
    assert ours.log_likelihood == pytest.approx(theirs.llf, abs=1e-6)
    assert ours.variance == pytest.approx(theirs.scale, rel=1e-4)
    assert ours.coefs[:3] == pytest.approx(theirs.fe_params, abs=1e-4)
    # Its errors are from a numerical second derivative; these from the covariance written out.
    spread = [v * b @ b.T for v, b in zip(theirs.vcomp, blocks, strict=True)]
    covariance = theirs.scale * np.eye(63) + sum(spread)
    written_out = np.linalg.inv(fixed.T @ np.linalg.solve(covariance, fixed))
    assert ours.errors[:3] == pytest.approx(np.sqrt(np.diag(written_out)), rel=1e-4)
    drawn = np.asarray(next(iter(theirs.random_effects.values())))
    assert ours.coefs[3:] == pytest.approx(drawn, abs=1e-4)


def seasons(*, seed: int, anglers: int, matches: int, columns: int) -> tuple[Sums, Any, Any]:
    """The sums of a season that was played by the model's own rules, its true parts, and the
    spreads of parts, anglers and matches, which no season is told."""
    chance = np.random.default_rng(seed)
    there = np.argwhere(chance.random((anglers, matches)) < 0.6)
    amounts = chance.normal(size=(len(there), columns))
    spreads = np.abs(chance.normal(size=3)) * (PRIOR_PART, PRIOR_ANGLER, PRIOR_MATCH)
    parts = chance.normal(size=columns) * spreads[0]
    y = amounts @ parts + chance.normal(size=len(there))
    y += spreads[1] * chance.normal(size=anglers)[there[:, 0]]
    y += spreads[2] * chance.normal(size=matches)[there[:, 1]]
    blocks = [amounts, groups(there[:, 0]), groups(there[:, 1])]
    return sums_of(y, np.ones((len(y), 1)), blocks), parts, spreads


def test_nine_times_in_ten_the_true_part_lies_in_the_interval() -> None:
    held = []
    for seed in range(40):
        sums, true, _spreads = seasons(seed=seed, anglers=8, matches=10, columns=12)
        held += [one.low <= t <= one.high for one, t in zip(parts_of(sums), true, strict=True)]
    assert len(held) == 480
    assert 0.87 <= np.mean(held) <= 0.93


def test_taking_groups_out_first_changes_no_answer() -> None:
    """The inverse in blocks (I. Schur, 1917), against the whole inverse."""
    sums, _true, _spreads = seasons(seed=3, anglers=5, matches=6, columns=3)
    whole = solve(sums, [0.4, 0.8, 0.3])
    left, log_det = without(sums, [0.8, 0.3], first=1)
    part = solve(left, [0.4])
    assert part.coefs == pytest.approx(whole.coefs[:4])
    assert part.errors == pytest.approx(whole.errors[:4])
    assert part.log_likelihood - log_det / 2 == pytest.approx(whole.log_likelihood)
