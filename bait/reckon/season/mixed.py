"""A linear model with groups: what is common, and how much each group differs.

y = X·b + Σ Z_j·u_j + e, with u_j ~ N(0, (r_j·s)²) and e ~ N(0, s²): of every block of groups only
the ratio r_j of its spread to that of luck is asked for. D. Bates et al., Fitting linear
mixed-effects models using lme4, Journal of Statistical Software 67 (2015), no. 1, section 3.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class Sums:
    """All that the model needs of its data: WᵀW, Wᵀy and yᵀy, and which columns of W are fixed.

    `block` says of each column of W which block it belongs to, -1 for a fixed one; fixed ones stand
    first.
    """

    square: Floats
    cross: Floats
    total: float
    block: NDArray[np.int64]
    rows: int

    @property
    def fixed(self) -> int:
        return int((self.block < 0).sum())


@dataclass(frozen=True, slots=True)
class Solved:
    """The model at given ratios: `coefs` of all columns (best linear unbiased), the variance of
    luck by restricted likelihood, the spread of each coefficient's error (a standard deviation),
    and the restricted log-likelihood."""

    coefs: Floats
    variance: float
    errors: Floats
    log_likelihood: float


def sums_of(y: Floats, fixed: Floats, blocks: Sequence[Floats]) -> Sums:
    """`y` (n), `fixed` (n × f), `blocks` each (n × groups). Raises ValueError where there are no
    more rows than fixed columns."""
    rows, many = fixed.shape
    if rows <= many:
        raise ValueError("Fewer rows than fixed columns: nothing is left to tell luck by.")
    whole = np.hstack([fixed, *blocks])
    block = np.concatenate(
        [np.full(many, -1), *(np.full(b.shape[1], n) for n, b in enumerate(blocks))]
    ).astype(np.int64)
    return Sums(whole.T @ whole, whole.T @ y, float(y @ y), block, rows)


def solve(sums: Sums, ratios: Sequence[float]) -> Solved:
    """The model where block j spreads `ratios[j]` times as much as luck. 0 leaves a block out.

    Raises numpy's LinAlgError where fixed columns say the same.
    """
    scale = np.concatenate([[1.0], np.asarray(ratios, dtype=np.float64)])[sums.block + 1]
    matrix = sums.square * np.outer(scale, scale) + np.diag((sums.block >= 0).astype(np.float64))
    inverse = np.linalg.inv(matrix)
    found = inverse @ (sums.cross * scale)
    free = sums.rows - sums.fixed
    variance = max(sums.total - float(found @ (sums.cross * scale)), 0.0) / free
    likelihood = restricted(variance, float(np.linalg.slogdet(matrix)[1]), free=free)
    errors = np.sqrt(variance * np.diag(inverse)) * scale
    return Solved(found * scale, variance, errors, likelihood)


def restricted(variance: float, log_det: float, *, free: int) -> float:
    """The restricted log-likelihood, with luck's variance at its best."""
    if variance <= 0:
        raise ValueError("Nothing is left to luck: all results are alike.")
    return -0.5 * (free * (math.log(2 * math.pi * variance) + 1) + log_det)


def without(sums: Sums, ratios: Sequence[float], *, first: int) -> tuple[Sums, float]:
    """The sums with the blocks from `first` on taken out at their ratios (`ratios` of these alone),
    and the logarithm of the determinant that they leave. The answer for the rest is the same."""
    gone = sums.block >= first
    scale = np.asarray(ratios, dtype=np.float64)[sums.block[gone] - first]
    inner = sums.square[np.ix_(gone, gone)] * np.outer(scale, scale) + np.eye(int(gone.sum()))
    beside = sums.square[np.ix_(gone, ~gone)] * scale[:, None]
    cross = sums.cross[gone] * scale
    solved = np.linalg.solve(inner, np.column_stack([beside, cross]))
    left = Sums(
        square=sums.square[np.ix_(~gone, ~gone)] - beside.T @ solved[:, :-1],
        cross=sums.cross[~gone] - beside.T @ solved[:, -1],
        total=sums.total - float(cross @ solved[:, -1]),
        block=sums.block[~gone],
        rows=sums.rows,
    )
    return left, float(np.linalg.slogdet(inner)[1])
