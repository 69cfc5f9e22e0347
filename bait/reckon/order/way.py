"""One way to buy: the least goods when each seller asks for a least spend.

A Lagrange multiplier for each spend that is asked for bounds the goods (see screen.py); the
covers that the bound leaves are joined bait by bait. Every bound is in whole numbers.
"""

from __future__ import annotations

from typing import Final

import numpy as np

from .choices import Choices
from .cover import Floats, Ints, TooLarge, time_check
from .front import undominated
from .narrowed import PARTS, BaitList, Narrowed, narrowed
from .ways import FAR

#: With so few covers everything below the limit is looked at at once, up to so many sums.
_AT_ONCE_MOST: Final = 4_000
_SUMS_MOST: Final = 20_000
_JOINED_MOST: Final = 150_000


class WaySearch:
    """One way: its goods found at the least when asked, below `limit` pence.

    `wanted`: its set of sellers; `least` pence of each bait from them; `asks` pence of each
    seller; `parts`: multipliers of what is asked, any of which bound a sum, and `bound` the goods
    that are below none. `seen` is the least found so far that spends what is asked.
    """

    def __init__(
        self,
        choices: Choices,
        *,
        least: Ints,
        wanted: int,
        asks: Ints,
        limit: int,
        bound: int,
        parts: Floats,
    ) -> None:
        self.bound, self.seen = bound, FAR
        columns = np.flatnonzero(asks)
        self.asks, self._parts = asks[columns], parts[columns].astype(np.int64)
        most = least + (limit - 1 - int(least.sum()))
        rows = np.flatnonzero(
            ((choices.sets & ~wanted) == 0) & (choices.pence <= most[choices.baits])
        )
        ends = np.searchsorted(choices.baits[rows], np.arange(len(least)), side="right")
        if (np.diff(ends, prepend=0) == 0).any():
            self.bound = FAR
        pence = choices.pence[rows]
        spends = np.minimum(choices.spends[np.ix_(rows, columns)], self.asks)
        cuts = ends[:-1]
        self._lists = [
            BaitList(p, s, r, 0)
            for p, s, r in zip(
                np.split(pence, cuts), np.split(spends, cuts), np.split(rows, cuts), strict=True
            )
        ]

    def narrowed(self, goods: int) -> Narrowed | None:
        """The covers that goods of at most so many pence may be made of; None: there are none."""
        return narrowed(self._lists, asks=self.asks, parts=self._parts, most=goods * PARTS)

    def least_find(self, limit: int, *, deadline: float) -> int:
        """The least goods in pence below `limit`, or `limit`.

        Raises TooLarge where that cannot be told, too many covers spending about what is asked,
        and OutOfTime.
        """
        if sum(len(found.pence) for found in self._lists) <= _AT_ONCE_MOST:
            found, whole = self._least_within(limit - 1, most=_SUMS_MOST, deadline=deadline)
            if whole:
                return limit if found is None else found
        goods = self.bound
        while goods < limit:
            found, whole = self._least_within(goods, deadline=deadline)
            if found is not None and (whole or found == self.bound):
                return found
            if found is not None:
                self.seen = min(self.seen, found)
            if found is not None or (not whole and goods == limit - 1):
                raise TooLarge
            if goods == limit - 1:
                break
            goods = min(limit - 1, self.bound + 4 * (goods - self.bound) + 2)
        return limit

    def _least_within(
        self, goods: int, *, deadline: float, most: int | None = None
    ) -> tuple[int | None, bool]:
        """The least goods found of at most so many pence; whether all were looked at.

        Where sums are too many, only some are followed, evenly spaced: what is found stands. With
        `most` none is then: there is no more than that to look at, or nothing is found.
        """
        left = self.narrowed(goods)
        if left is None:
            return None, True
        lists = [(*cheapest_kept(f.pence, f.spends), f.least) for f in left.lists]
        reach = np.zeros((len(lists) + 1, len(left.asks)), dtype=np.int64)
        for n in reversed(range(len(lists))):
            reach[n] = reach[n + 1] + lists[n][1].max(axis=0)
        keys, have = np.zeros(1, dtype=np.int64), np.zeros((1, len(left.asks)), dtype=np.int64)
        least, whole = 0, True
        for n, (pence, spends, lowest) in enumerate(lists):
            time_check(deadline)
            least += lowest
            if most is not None and len(keys) * len(pence) > most:
                return None, False
            step = -(-len(keys) * len(pence) // _JOINED_MOST)
            keys, have, whole = keys[::step], have[::step], whole and step == 1
            sums = (keys[:, None] + pence).ravel()
            both = np.minimum(have[:, None, :] + spends, left.asks)
            both = both.reshape(len(sums), len(left.asks))
            fits = (left.tilted(sums, both) - least <= left.slack) & (
                (both + reach[n + 1] >= left.asks).all(axis=1)
            )
            if not fits.any():
                return None, whole
            keys, have = cheapest_kept(sums[fits], both[fits])
        return int(keys.min()), whole


def cheapest_kept(pence: Ints, spends: Ints) -> tuple[Ints, Ints]:
    """Sums that no other beats at once in pence and in every spend."""
    if spends.shape[1]:
        return undominated(pence, spends)
    return pence.min(keepdims=True), spends[:1]
