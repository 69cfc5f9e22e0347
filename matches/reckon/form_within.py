"""How good a group is under one condition, when it was seen there too seldom to say.

Drawn in twice: what was seen under a condition towards the group's own mean over all of them, and
that towards the mean of all groups.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any, Final

import numpy as np

from .form import LEAST_GROUPS, Z90, Believed

Array = np.ndarray[Any, np.dtype[np.float64]]
#: So many steps for each of the two spreads.
_STEPS: Final = 25


@dataclass(frozen=True, slots=True)
class SeenWithin:
    """What was seen of a group under a condition: its mean, and that mean's variance by luck."""

    group: str
    condition: str
    mean: float
    variance: float


def form_within(seen: Sequence[SeenWithin], *, most: float) -> tuple[Believed, ...] | None:
    """What is believed of each group under each condition, 90 % intervals beside it.

    Two levels of normal means: groups spread around the mean of all with standard deviation a,
    conditions around their group with b, and luck on top. Neither spread is known: each is taken as
    likely anywhere from 0 to `most`, so that the data weigh them (A. Gelman, Prior distributions
    for variance parameters in hierarchical models, Bayesian Analysis 1 (2006), 515-533, section
    5.1), and everything is averaged over a grid of both. Given a and b all is closed form (D. V.
    Lindley, A. F. M. Smith, Bayes estimates for the linear model, Journal of the Royal Statistical
    Society B 34 (1972), 1-41). `drawn` is how much of what was seen was left for the group's own
    mean. None below LEAST_GROUPS groups. Raises ValueError for a variance not above 0.
    """
    if any(not one.variance > 0 for one in seen):
        raise ValueError("Luck has a part in every mean: its variance is above 0.")
    names = sorted({one.group for one in seen})
    if len(names) < LEAST_GROUPS:
        return None
    cells = _Cells(
        group=np.array([names.index(one.group) for one in seen]),
        mean=np.array([one.mean for one in seen]),
        luck=np.array([one.variance for one in seen]),
    )
    steps = (np.arange(_STEPS) + 0.5) * most / _STEPS
    given = [_given(cells, a=float(a), b=float(b)) for a in steps for b in steps]
    logs = np.array([one.log_likely for one in given])
    weights = np.exp(logs - logs.max())
    weights /= weights.sum()
    means = np.array([one.mean for one in given])
    mean = weights @ means
    variance = weights @ (np.array([one.variance for one in given]) + (means - mean) ** 2)
    drawn = weights @ np.array([one.drawn for one in given])
    return tuple(
        Believed(float(m), float(m) - reach, float(m) + reach, float(d))
        for m, v, d in zip(mean, variance, drawn, strict=True)
        for reach in [Z90 * math.sqrt(v)]
    )


@dataclass(frozen=True, slots=True)
class _Cells:
    """One place each a group under a condition; `group` counts the groups from 0."""

    group: np.ndarray[Any, np.dtype[np.int_]]
    mean: Array
    luck: Array


@dataclass(frozen=True, slots=True)
class _Given:
    """What two spreads make of the cells, and how likely they make what was seen (a logarithm)."""

    mean: Array
    variance: Array
    drawn: Array
    log_likely: float


def _given(cells: _Cells, *, a: float, b: float) -> _Given:
    total = cells.luck + b * b
    known = np.bincount(cells.group, 1 / total)
    own = np.bincount(cells.group, cells.mean / total) / known
    weights = 1 / (a * a + 1 / known)
    centre = (weights @ own) / weights.sum()
    log_likely = -0.5 * (
        np.log(total).sum()
        + (((cells.mean - own[cells.group]) ** 2) / total).sum()
        + np.log(known).sum()
        - np.log(weights).sum()
        + (weights * (own - centre) ** 2).sum()
        + np.log(weights.sum())
    )
    # Each group towards the mean of all, then each of its cells towards it.
    to_all = 1 / (1 + a * a * known)
    group = to_all * centre + (1 - to_all) * own
    group_variance = a * a * to_all + to_all**2 / weights.sum()
    to_group = cells.luck / total
    return _Given(
        mean=to_group * group[cells.group] + (1 - to_group) * cells.mean,
        variance=b * b * to_group + to_group**2 * group_variance[cells.group],
        drawn=to_group,
        log_likely=float(log_likely),
    )
