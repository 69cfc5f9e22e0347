"""One way to buy: the least goods when each seller asks for a least spend.

A Lagrange multiplier for each spend that is asked for bounds the goods; the covers that the
bound leaves are joined bait by bait. Every bound is in whole numbers.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

import numpy as np
import numpy.typing as npt

from .cover import Ints, TooLarge, time_check
from .narrowed import PARTS, BaitList, Narrowed, narrowed
from .spending import undominated
from .ways import FAR

Floats = npt.NDArray[np.float64]

_ROUNDS: Final = 25
_JOINED_MOST: Final = 150_000
_ROOM_MOST: Final = 16_000_000


@dataclass(frozen=True, slots=True)
class Choices:
    """Covers, bait after bait: the bait, pence, the set of sellers, pence with each seller.

    `counts`: how many of each pack of the bait, in pack order.
    """

    baits: Ints
    pence: Ints
    sets: Ints
    spends: Ints
    counts: Ints


class WaySearch:
    """One way: its goods bounded at once, and found at the least when asked.

    `seen` is the least found so far that spends what is asked; `bound` is below all under `limit`.
    `hint` is where the multipliers start, by seller, and is left where they ended.
    """

    def __init__(
        self,
        choices: Choices,
        *,
        least: Ints,
        wanted: int,
        asks: Ints,
        limit: int,
        hint: Floats,
    ) -> None:
        self.limit, self.bound, self.seen = limit, int(least.sum()), FAR
        columns = np.flatnonzero(asks)
        self.asks = asks[columns]
        most = least + (limit - 1 - self.bound)
        fits = np.flatnonzero(
            ((choices.sets & ~wanted) == 0) & (choices.pence <= most[choices.baits])
        )
        baits = choices.baits[fits]
        sizes = np.bincount(baits, minlength=len(least))
        if not sizes.all():
            self.bound = FAR
            return
        places = np.arange(len(fits)) - np.repeat(np.cumsum(sizes) - sizes, sizes)
        pence = np.full((len(sizes), int(sizes.max())), FAR, dtype=np.int64)
        if pence.size * (1 + len(columns)) > _ROOM_MOST:
            raise TooLarge
        spends = np.zeros((*pence.shape, len(columns)), dtype=np.int64)
        pence[baits, places] = choices.pence[fits]
        spends[baits, places] = np.minimum(choices.spends[fits[:, None], columns], self.asks)
        rows = np.zeros(pence.shape, dtype=np.int64)
        rows[baits, places] = fits
        hint[columns] = self._bound_raise(pence, spends, tilt=hint[columns])
        self._lists = [BaitList(p, s, r, 0) for p, s, r in zip(pence, spends, rows, strict=True)]

    def narrowed(self, goods: int) -> Narrowed | None:
        """The covers that goods of at most so many pence may be made of; None: there are none."""
        return narrowed(self._lists, asks=self.asks, parts=self._parts, most=goods * PARTS)

    def _bound_raise(self, pence: Ints, spends: Ints, *, tilt: Floats) -> Floats:
        """Tilt prices, a step at a time, towards spending what is asked."""
        rows = np.arange(len(pence))
        self._parts = np.zeros(len(tilt), dtype=np.int64)
        top = -1
        for _ in range(_ROUNDS):
            parts = np.rint(tilt).astype(np.int64)
            tilted = pence * PARTS - spends @ parts
            at = tilted.argmin(axis=1)
            bound = int(tilted[rows, at].sum() + parts @ self.asks)
            if bound > top:
                top, self._parts = bound, parts
            lacking = self.asks - spends[rows, at].sum(axis=0)
            if (lacking <= 0).all():
                self.seen = min(self.seen, int(pence[rows, at].sum()))
                self.limit = min(self.limit, self.seen)
            gap = self.limit * PARTS - bound
            if -(-top // PARTS) >= self.limit or not lacking.any():
                break
            push = np.where((tilt <= 0) & (lacking < 0), 0, lacking).astype(np.float64)
            if not push.any():
                break
            tilt = np.clip(tilt + push * (gap / float(push @ push)), 0, 4 * PARTS)
        self.bound = max(self.bound, -(-top // PARTS))
        self._top = top
        return self._parts.astype(np.float64)

    def least_find(self, limit: int, *, deadline: float) -> int:
        """The least goods in pence below `limit`, or `limit`.

        Raises TooLarge where that cannot be told, too many covers spending about what is asked,
        and OutOfTime.
        """
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

    def _least_within(self, goods: int, *, deadline: float) -> tuple[int | None, bool]:
        """The least goods found of at most so many pence; whether all were looked at.

        Where sums are too many, only some are followed, evenly spaced: what is found stands.
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
