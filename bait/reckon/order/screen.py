"""Many ways to buy bounded side by side, so that most of them need no search of their own.

For any multipliers m >= 0 of what a way asks to be spent, its goods come to at least the sum,
bait by bait, of the least of (pence - m * spends) over the covers it may buy, and m * asks: what
is taken off is at most what is added. The multipliers of all ways are raised together, one
product of matrices a round. All numbers are whole and below 2**53, so exact in floating point.
"""

from __future__ import annotations

from typing import Final

import numpy as np

from .choices import Choices
from .cover import Floats, Ints, TooLarge
from .narrowed import PARTS
from .ways import FAR

_ROUNDS: Final = 25
#: A penny spent takes at most so many parts of a penny off.
_TILT_MOST: Final = 4 * PARTS
_EXACT_MOST: Final = 2**53


class Screen:
    """Some ways to buy, each with the covers that it may buy for a total below `limit`.

    By way: `sets` of sellers, `fees`, `asks` (columns: sellers), `most` pence for a bait (rows).
    `raise_all` finds, by way: `bounds` that its goods are never below while the total is below
    `best` (`FAR`: there are none); `parts`, the multipliers that say so, by seller. `best` is the
    limit, or the least total met that spends what its way asks. Raises TooLarge where numbers
    would grow too large to be exact.
    """

    def __init__(
        self, choices: Choices, *, sets: Ints, fees: Ints, asks: Ints, most: Ints, limit: int
    ) -> None:
        self.best, self._fees, self._many = limit, fees, asks.shape[1]
        self._sellers, levels = _columns(asks)
        self._asks = np.where(asks[:, self._sellers] == levels, levels, 0).astype(np.float64)
        self._parts = np.zeros(self._asks.shape)
        fits = (choices.sets[:, None] & ~sets) == 0
        fits &= choices.pence[:, None] <= most[choices.baits]
        starts = np.flatnonzero(np.diff(choices.baits, prepend=-1))
        possible = np.logical_or.reduceat(fits, starts, axis=0).all(axis=0)
        self.bounds = np.where(possible, 0, FAR)
        self._left = np.flatnonzero(possible)
        rows = np.flatnonzero(fits[:, possible].any(axis=1))
        self._pence, self._size = choices.pence[rows], max(1, len(rows))
        if 2 * _TILT_MOST * limit * self._size > _EXACT_MOST:
            raise TooLarge
        self._starts = np.flatnonzero(np.diff(choices.baits[rows], prepend=-1))
        spends = np.minimum(choices.spends[np.ix_(rows, self._sellers)], levels)
        self._spends = spends.astype(np.float64)
        # Below the pence stands the row: the least tells which cover it is.
        keys = self._pence * (PARTS * self._size) + np.arange(len(rows))
        barred = 2 * _TILT_MOST * limit * self._size
        found = np.where(fits[np.ix_(rows, possible)], keys[:, None], barred)
        self._keys = found.astype(np.float64)

    @property
    def parts(self) -> Floats:
        """By way, the multiplier for each seller: one spend at most is asked of each."""
        found: Floats = self._parts @ (self._sellers[:, None] == np.arange(self._many))
        return found

    def raise_all(self, hint: Floats) -> None:
        """Tilt prices, a step at a time, towards spending what is asked, from `hint` by seller."""
        tilt = hint[self._sellers] * (self._asks[self._left] > 0)
        for _ in range(_ROUNDS):
            if not len(self._left):
                return
            bound, lacking = self._tried(np.rint(tilt))
            push = np.where((tilt <= 0) & (lacking < 0), 0, lacking)
            square = (push * push).sum(axis=1)
            limits = self.best - self._fees[self._left]
            going = (square > 0) & (self.bounds[self._left] < limits)
            gap = limits * PARTS - bound
            tilt = tilt + push * (gap / np.maximum(square, 1))[:, None]
            tilt = np.clip(tilt[going], 0, _TILT_MOST)
            if not going.all():
                self._left, self._keys = self._left[going], self._keys[:, going]

    def _tried(self, parts: Floats) -> tuple[Ints, Floats]:
        """The bounds (in parts of a penny) that `parts` give, and what then lacks in spending."""
        left, asks = self._left, self._asks[self._left]
        keys = self._keys - self._spends @ (parts * self._size).T
        least = np.minimum.reduceat(keys, self._starts, axis=0).astype(np.int64)
        tilted, rows = np.divmod(least, self._size)
        bound = tilted.sum(axis=0) + (parts * asks).sum(axis=1).astype(np.int64)
        lacking = np.where(asks > 0, asks - self._spends[rows].sum(axis=0), 0)
        enough = np.flatnonzero((lacking <= 0).all(axis=1))
        totals = self._pence[rows[:, enough]].sum(axis=0) + self._fees[left[enough]]
        self.best = min(self.best, int(totals.min(initial=FAR)))
        raised = np.flatnonzero(-(-bound // PARTS) > self.bounds[left])
        self.bounds[left[raised]] = -(-bound[raised] // PARTS)
        self._parts[left[raised]] = parts[raised]
        return bound, lacking


def _columns(asks: Ints) -> tuple[Ints, Ints]:
    """Every spend that is asked for: the seller, and the pence."""
    found = [(j, each) for j, column in enumerate(asks.T) for each in np.unique(column[column > 0])]
    sellers, pence = np.array(found, dtype=np.int64).reshape(-1, 2).T
    return sellers, pence
