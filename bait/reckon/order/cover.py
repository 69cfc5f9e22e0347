"""The least key at which some packs of one bait cover any amount of it.

A key is one whole number that holds pence and, below them, the number of packs, so that the
smaller key is the cheaper cover and, at the same price, the one of fewer packs.
"""

from __future__ import annotations

from time import monotonic
from typing import Final

import numpy as np
import numpy.typing as npt

Ints = npt.NDArray[np.int64]
Floats = npt.NDArray[np.float64]
Bools = npt.NDArray[np.bool_]

NEVER: Final = 2**61
_DENSE_MOST: Final = 4_096
_SPARSE_MOST: Final = 200_000


class TooLarge(Exception):
    """The whole-number search would need more room than it is worth."""


class OutOfTime(Exception):
    """The deadline passed before the work was done."""


def time_check(deadline: float) -> None:
    """Raise OutOfTime once `deadline` (of the monotonic clock, in seconds) has passed."""
    if monotonic() > deadline:
        raise OutOfTime


class Options:
    """The counts of one pack that may be part of a least cover: amounts, keys, counts."""

    __slots__ = ("amounts", "counts", "keys")

    def __init__(self, counts: Ints, amounts: Ints, keys: Ints) -> None:
        self.counts, self.amounts, self.keys = counts, amounts, keys

    def cut(self, need: int) -> Options:
        """Only those counts that no other count beats at once in amount (up to `need`) and key."""
        amounts = np.minimum(self.amounts, need)
        order = np.lexsort((-amounts, self.keys))
        amounts = amounts[order]
        reach = np.maximum.accumulate(amounts)
        keep = np.concatenate(([True], amounts[1:] > reach[:-1]))
        order = order[keep]
        return Options(self.counts[order], self.amounts[order], self.keys[order])


class Cover:
    """The least key for every amount from 0 to `need`."""

    __slots__ = ("_amounts", "_keys", "_table", "need")

    def __init__(self, need: int, *, table: Ints | None = None, amounts: Ints, keys: Ints) -> None:
        self.need, self._table, self._amounts, self._keys = need, table, amounts, keys

    @classmethod
    def nothing(cls, need: int) -> Cover:
        """What no packs at all cover."""
        zero = np.zeros(1, dtype=np.int64)
        if need > _DENSE_MOST:
            return cls(need, amounts=zero, keys=zero)
        table = np.full(need + 1, NEVER, dtype=np.int64)
        table[0] = 0
        return cls(need, table=table, amounts=zero, keys=zero)

    @property
    def rows(self) -> int:
        """How many numbers it keeps, as a measure of its room."""
        return len(self._amounts) if self._table is None else len(self._table)

    @property
    def table(self) -> Ints | None:
        """The least key for every amount from none to the whole need; None where not tabled."""
        return self._table

    def at(self, amounts: Ints) -> Ints:
        """The least key to cover each of `amounts` (below zero counts as zero)."""
        if self._table is not None:
            return self._table[np.maximum(amounts, 0)]
        found = np.searchsorted(self._amounts, amounts)
        return np.append(self._keys, NEVER)[found]

    def one(self, amount: int) -> int:
        """The least key to cover `amount`."""
        if self._table is not None:
            return int(self._table[max(amount, 0)])
        return int(self.at(np.array([amount], dtype=np.int64))[0])

    def with_pack(self, options: Options) -> Cover:
        """The cover when a further pack may be bought too."""
        if self._table is not None:
            asked = np.arange(self.need + 1, dtype=np.int64)
            rest = np.maximum(asked - options.amounts[:, None], 0)
            table = np.minimum((self._table[rest] + options.keys[:, None]).min(axis=0), NEVER)
            return Cover(self.need, table=table, amounts=self._amounts, keys=self._keys)
        if len(self._amounts) * len(options.amounts) > _SPARSE_MOST * 20:
            raise TooLarge
        amounts = np.minimum(self._amounts[:, None] + options.amounts, self.need).ravel()
        keys = (self._keys[:, None] + options.keys).ravel()
        order = np.lexsort((-amounts, keys))
        amounts, keys = amounts[order], keys[order]
        keep = np.concatenate(([True], amounts[1:] > np.maximum.accumulate(amounts)[:-1]))
        if int(keep.sum()) > _SPARSE_MOST:
            raise TooLarge
        return Cover(self.need, amounts=amounts[keep], keys=keys[keep])
