"""What each column goes with, drawn in towards nothing by as much as all of them together say.

A column's true part is taken to be small or great alike for all: normal about nought, its spread
unknown. With the spread of anglers, of matches and of luck unknown too, an answer is the mean over
what they may be, each as likely as it makes the results: so few days give a wide interval, and an
estimate of "no spread at all" never passes for knowledge. A. Gelman et al., Bayesian Data Analysis,
3rd ed. 2013, chapters 5 and 15; the spreads beforehand are ours (no source).
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Final

import numpy as np
from scipy.special import ndtri, stdtr

from .mixed import Floats, Sums, restricted, without

#: Before anything was seen: how much a column's usual difference, an angler and a match move the
#: log of the weight, each half-normal, in spreads of luck.
PRIOR_PART: Final = 1.0
PRIOR_ANGLER: Final = 1.0
PRIOR_MATCH: Final = 1.0
_PARTS, _GROUPS = 12, 6
#: To a thousandth of a spread; points that weigh less than this beside the heaviest are left out.
_BISECTIONS: Final = 15
_NO_WEIGHT: Final = 1e-3
_NO_LUCK: Final = 1e-12
BOUNDS: Final = (0.05, 0.5, 0.95)

Progress = Callable[[int, str], None]


@dataclass(frozen=True, slots=True)
class Part:
    """The log of the factor on the weight that one spread of a column goes with: the middle of
    what is believed, and the bounds it lies within nine times in ten."""

    middle: float
    low: float
    high: float


@dataclass(frozen=True, slots=True)
class Point:
    """What is believed at one choice of the spreads, and how likely that is (not yet of sum 1)."""

    log_weight: float
    means: Floats
    scales: Floats


def parts_of(sums: Sums, *, progress: Progress = lambda _percent, _words: None) -> tuple[Part, ...]:
    """The part of each column of block 0 of `sums`; block 1 are anglers, block 2 matches, where
    they are there. Raises ValueError where nothing is left to luck."""
    blocks = int(sums.block.max())
    priors = (PRIOR_ANGLER, PRIOR_MATCH)[:blocks]
    choices = [half_normal(prior, _GROUPS) for prior in priors]
    grid = np.array(np.meshgrid(*choices)).reshape(blocks, -1).T if blocks else np.zeros((1, 0))
    points: list[Point] = []
    for n, ratios in enumerate(grid):
        points += _points(*without(sums, ratios.tolist(), first=1))
        progress(100 * (n + 1) // len(grid), "weighing")
    return _mixed(points, free=sums.rows - sums.fixed)


def half_normal(scale: float, many: int) -> Floats:
    """So many values that stand for a half-normal of this scale, each as likely."""
    values: Floats = scale * ndtri(0.5 + (np.arange(many) + 0.5) / many / 2)
    return values


def _points(left: Sums, log_det: float) -> list[Point]:
    """What is believed at each spread of the parts; groups are taken out of `left` already."""
    free, rows = left.rows - left.fixed, left.block >= 0
    spreads = half_normal(PRIOR_PART, _PARTS)
    scales = np.where(rows, spreads[:, None], 1.0)
    matrices = left.square * scales[:, :, None] * scales[:, None, :]
    matrices += np.diag(rows.astype(np.float64))
    inverses = np.linalg.inv(matrices)
    log_dets = np.linalg.slogdet(matrices)[1] + log_det
    crosses = left.cross * scales
    coefs = np.einsum("nij,nj->ni", inverses, crosses)
    variances = (left.total - (coefs * crosses).sum(axis=1)) / free
    if variances.min() <= left.total / left.rows * _NO_LUCK:
        raise ValueError("Nothing is left to luck: all results are alike.")
    errors = np.sqrt(variances[:, None] * np.diagonal(inverses, axis1=1, axis2=2)) * scales
    return [
        Point(restricted(float(variance), float(det), free=free), mean[rows], error[rows])
        for variance, det, mean, error in zip(
            variances, log_dets, coefs * scales, errors, strict=True
        )
    ]


def _mixed(points: list[Point], *, free: int) -> tuple[Part, ...]:
    """All points together: of each column a mixture of Student's t distributions."""
    logs = np.array([point.log_weight for point in points])
    weights = np.exp(logs - logs.max())
    kept = weights > _NO_WEIGHT
    weights = weights[kept] / weights[kept].sum()
    means = np.array([point.means for point in points])[kept]
    scales = np.array([point.scales for point in points])[kept]
    low, middle, high = (_quantile(b, weights, means, scales, free) for b in BOUNDS)
    return tuple(
        Part(float(m), float(a), float(b)) for a, m, b in zip(low, middle, high, strict=True)
    )


def _quantile(share: float, weights: Floats, means: Floats, scales: Floats, free: int) -> Floats:
    """Of each column the value below which `share` of the mixture lies."""
    widest = 10 * scales.max(axis=0)
    low: Floats = means.min(axis=0) - widest
    high: Floats = means.max(axis=0) + widest
    for _step in range(_BISECTIONS):
        between = (low + high) / 2
        below = weights @ stdtr(free, (between - means) / scales) < share
        low, high = np.where(below, between, low), np.where(below, high, between)
    middle: Floats = (low + high) / 2
    return middle
