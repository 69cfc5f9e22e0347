"""Covers of every bait joined to exactly one sum of goods: which of them is the preferred."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from functools import cache
from typing import Final

import numpy as np

from .cover import Ints, TooLarge, time_check
from .narrowed import BaitList, Narrowed
from .spending import Bought
from .way import WaySearch, cheapest_kept

_SUMS_MOST: Final = 3_000_000
_ENDS_MOST: Final = 100_000
_COMPARED_AT_ONCE: Final = 4_000_000

#: How many packs, and which with their counts: the smaller the better.
Listing = tuple[int, Bought]


class Joining:
    """The joins of one way to buy that come to `goods` pence, the least that it can come to."""

    def __init__(self, search: WaySearch, *, goods: int, deadline: float) -> None:
        self.goods, self.deadline = goods, deadline
        left = search.narrowed(goods)
        self.left = left or Narrowed([], search.asks, search.asks, -1)
        self.lists, self.asks = self.left.lists, self.left.asks

    def best(self, bought_of: Callable[[int], Bought]) -> Listing | None:
        """The preferred join, None when there is none; `bought_of` a row is its packs.

        Sums that agree in pence and in every spend end alike, so only the preferred of them is
        kept. Raises TooLarge and OutOfTime.
        """
        ends = self._ends() if self.lists else None
        if ends is None:
            return None
        listed = cache(bought_of)
        pence, have = np.zeros(1, dtype=np.int64), np.zeros((1, len(self.asks)), dtype=np.int64)
        listings: list[Listing] = [(0, ())]
        least = 0
        for n, found in enumerate(self.lists):
            least += found.least
            sums, both, fits = self._joined(pence, have, found, least=least)
            fits = fits[(both[fits] >= self._lacking(n + 1, len(self.lists))).all(axis=1)]
            fits = fits[self._not_beaten(sums[fits], both[fits])]
            if n + 1 in ends:
                fits = fits[self._can_end(sums[fits], both[fits], *ends[n + 1])]
            kept: dict[tuple[int, bytes], tuple[Listing, int]] = {}
            for at in fits.tolist():
                packs, before = listings[at // len(found.pence)]
                more = listed(int(found.rows[at % len(found.pence)]))
                listing = (packs + sum(c for _, c in more), tuple(sorted(before + more)))
                place = (int(sums[at]), both[at].tobytes())
                if place not in kept or listing < kept[place][0]:
                    kept[place] = (listing, at)
            chosen = [at for _, at in kept.values()]
            pence, have, listings = sums[chosen], both[chosen], [one for one, _ in kept.values()]
        return min(listings, default=None)

    def _joined(
        self, pence: Ints, have: Ints, found: BaitList, *, least: int
    ) -> tuple[Ints, Ints, Ints]:
        """Every sum with a further cover, and which of them the bound allows."""
        time_check(self.deadline)
        if len(pence) * len(found.pence) > _SUMS_MOST:
            raise TooLarge
        sums = (pence[:, None] + found.pence).ravel()
        both = np.minimum(have[:, None, :] + found.spends, self.asks)
        both = both.reshape(len(sums), len(self.asks))
        above = self.left.tilted(sums, both) - least
        return sums, both, np.flatnonzero(above <= self.left.slack)

    def _ends(self) -> dict[int, tuple[Ints, Ints]] | None:
        """What the covers from a place in the lists on can add; None: not enough.

        From the last place backwards, for as many places as it stays short.
        """
        pence, have = np.zeros(1, dtype=np.int64), np.zeros((1, len(self.asks)), dtype=np.int64)
        ends, least = {len(self.lists): (pence, have)}, 0
        for n in reversed(range(len(self.lists))):
            found = self.lists[n]
            if len(pence) * len(found.pence) > _ENDS_MOST:
                break
            least += found.least
            sums, both, fits = self._joined(pence, have, found, least=least)
            fits = fits[(both[fits] >= self._lacking(0, n)).all(axis=1)]
            if not len(fits):
                return None
            pence, have = cheapest_kept(sums[fits], both[fits])
            ends[n] = pence, have
        return ends

    def _lacking(self, start: int, stop: int) -> Ints:
        """What is still asked for if the lists from `start` to before `stop` spend their most."""
        most = [found.spends.max(axis=0) for found in self.lists[start:stop]]
        return self.asks - sum(most, np.zeros_like(self.asks))

    def _not_beaten(self, sums: Ints, both: Ints) -> Ints:
        """Which sums are not beaten by one of fewer pence that spends as much."""
        if not len(sums):
            return np.zeros(0, dtype=bool)
        pence, spends = cheapest_kept(sums, both)
        found = np.ones(len(sums), dtype=bool)
        for part in self._parts(len(sums), len(pence)):
            beaten = pence < sums[part, None]
            for own, other in zip(both[part].T, spends.T, strict=True):
                beaten &= other >= own[:, None]
            found[part] = ~beaten.any(axis=1)
        return found

    def _parts(self, rows: int, ends: int) -> Iterator[slice]:
        """Rows in parts small enough to be compared with so many ends at once."""
        size = max(1, _COMPARED_AT_ONCE // (ends * max(1, len(self.asks))))
        for start in range(0, rows, size):
            time_check(self.deadline)
            yield slice(start, start + size)

    def _can_end(self, sums: Ints, both: Ints, pence: Ints, spends: Ints) -> Ints:
        """Which sums some end brings to no more than the goods, with all that is asked spent."""
        found = np.zeros(len(sums), dtype=bool)
        for part in self._parts(len(sums), len(pence)):
            enough = sums[part, None] + pence <= self.goods
            for own, other, asked in zip(both[part].T, spends.T, self.asks, strict=True):
                enough &= own[:, None] + other >= asked
            found[part] = enough.any(axis=1)
        return found
