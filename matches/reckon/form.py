"""How good a peg, a section or a person is, when each was seen too seldom to say.

A few results say more of luck than of what they are about. So each mean is drawn towards the mean
of all, the more the less is known of it: empirical Bayes for normal means.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from statistics import NormalDist
from typing import Final

#: Fewer groups say nothing of how much groups differ.
LEAST_GROUPS: Final = 4
#: What is said to be sure here is so nine times in ten.
SURE: Final = 0.9
#: Nine times in ten within this many standard deviations.
Z90: Final = NormalDist().inv_cdf(1 - (1 - SURE) / 2)
_STEPS: Final = 200
_CLOSE: Final = 1e-12


@dataclass(frozen=True, slots=True)
class Seen:
    """The mean of what was seen of one group, and the variance of that mean by luck alone."""

    mean: float
    variance: float


@dataclass(frozen=True, slots=True)
class Believed:
    """What is believed of one group: drawn in by `drawn` (0 not at all, 1 to the mean of all)."""

    value: float
    low: float
    high: float
    drawn: float


@dataclass(frozen=True, slots=True)
class Form:
    """All groups: their common mean, how much they truly differ (a variance), and each of them."""

    centre: float
    spread: float
    groups: tuple[Believed, ...]


def form_of(seen: Sequence[Seen]) -> Form | None:
    """What is believed of each group, 90 % intervals beside it; None below LEAST_GROUPS groups.

    C. N. Morris, Parametric empirical Bayes inference, Journal of the American Statistical
    Association 78 (1983), 47-55, section 5: with weights W = 1/(V + A) the mean of all is the
    weighted mean, A solves A = Σ W·(k/(k-1)·(Y - centre)² - V) / Σ W, never below 0, and a group is
    drawn in by (k-3)/(k-1)·V/(V + A). With equal variances it is the James-Stein estimator.
    Raises ValueError for a variance that is not above 0.
    """
    if any(not one.variance > 0 for one in seen):
        raise ValueError("Luck has a part in every mean: its variance is above 0.")
    if len(seen) < LEAST_GROUPS:
        return None
    spread = _spread(seen)
    weights = [1 / (one.variance + spread) for one in seen]
    centre = _mean([one.mean for one in seen], weights)
    usual = _mean([one.variance for one in seen], weights)
    groups = tuple(
        _believed(one, weight, centre=centre, spread=spread, usual=usual, weights=weights)
        for one, weight in zip(seen, weights, strict=True)
    )
    return Form(centre, spread, groups)


def _spread(seen: Sequence[Seen]) -> float:
    """How much groups differ beside luck: the A of the equation above, step by step."""
    spread, k = 0.0, len(seen)
    for _step in range(_STEPS):
        weights = [1 / (one.variance + spread) for one in seen]
        centre = _mean([one.mean for one in seen], weights)
        more = [k / (k - 1) * (one.mean - centre) ** 2 - one.variance for one in seen]
        found = max(0.0, _mean(more, weights))
        if abs(found - spread) <= _CLOSE * (1 + spread):
            break
        spread = found
    return spread


def _believed(
    one: Seen,
    weight: float,
    *,
    centre: float,
    spread: float,
    usual: float,
    weights: Sequence[float],
) -> Believed:
    k = len(weights)
    drawn = (k - 3) / (k - 1) * one.variance * weight
    value = centre + (1 - drawn) * (one.mean - centre)
    # The second part: how much is drawn in is itself only known from k groups.
    known = 1 - (1 - weight / sum(weights)) * drawn
    unsure = 2 / (k - 3) * drawn**2 * (usual + spread) * weight
    reach = Z90 * math.sqrt(one.variance * known + unsure * (one.mean - centre) ** 2)
    return Believed(value, value - reach, value + reach, drawn)


def _mean(values: Sequence[float], weights: Sequence[float]) -> float:
    return sum(v * w for v, w in zip(values, weights, strict=True)) / sum(weights)
