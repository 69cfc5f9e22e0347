"""How likely each of several unknown rates is the greatest."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any, Final

import numpy as np
from scipy.special import gammainc, gammaincinv

Array = np.ndarray[Any, np.dtype[np.float64]]

#: Steps of the grid for each rate, from and to so many standard deviations of its cube root, which
#: is nearly normal (E. B. Wilson, M. M. Hilferty, PNAS 17 (1931), 684-688).
STEPS: Final = 1_000
REACH: Final = 8.0


@dataclass(frozen=True, slots=True)
class Rate:
    """What is believed of a rate: a Gamma distribution of `shape`, in steps of `scale`.

    The mean is shape x scale, the variance shape x scale².
    """

    shape: float
    scale: float

    @property
    def mean(self) -> float:
        return self.shape * self.scale

    def quantile(self, share: float) -> float:
        """The value that the rate stays below with this probability."""
        return float(gammaincinv(self.shape, share)) * self.scale


def best_shares(rates: Sequence[Rate]) -> list[float]:
    """The probability of each rate to be the greatest of them; they add up to 1.

    P(i best) = ∫ ∏ F_j(x) dF_i(x) over j ≠ i, F being the distribution functions. It is summed by
    the trapezoid rule over the steps of F_i itself, on one grid for all, so that a rate known to a
    hair is met by as many steps as a vague one. Within 1e-4 of an adaptive quadrature.
    """
    grid = np.unique(np.concatenate([[0.0], *(_steps(rate) for rate in rates)]))
    below = np.array([gammainc(rate.shape, grid / rate.scale) for rate in rates])
    shares = [_share(below, n) for n in range(len(rates))]
    return [share / sum(shares) for share in shares]


def _steps(rate: Rate) -> Array:
    """Where to look at a rate: closely wherever its distribution function rises."""
    if rate.shape < 1:
        # Near 0 it rises as the power `shape`: even steps of that, then even steps of the rest.
        low = np.linspace(0.0, 1.0, STEPS) ** (1 / rate.shape)
        return np.concatenate([low, 1 + np.linspace(0.0, REACH, STEPS) ** 2]) * rate.mean
    ninth = 1 / (9 * rate.shape)
    roots = 1 - ninth + np.linspace(-REACH, REACH, STEPS) * np.sqrt(ninth)
    steps: Array = rate.mean * np.maximum(roots, 0.0) ** 3
    return steps


def _share(below: Array, n: int) -> float:
    others = np.prod(np.delete(below, n, axis=0), axis=0)
    return float(np.sum((others[1:] + others[:-1]) / 2 * np.diff(below[n])))
