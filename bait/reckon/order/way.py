"""One way to buy: the least goods when each seller asks for a least spend.

A Lagrange multiplier for each spend that is asked for bounds the goods; the covers that the
bound leaves are joined bait by bait. Every bound is in whole numbers.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Final

import numpy as np
import numpy.typing as npt

from .cover import Ints, TooLarge, time_check
from .spending import undominated
from .ways import FAR

Floats = npt.NDArray[np.float64]
Lists = list[tuple[Ints, Ints, int]]

_PARTS: Final = 1024
_ROUNDS: Final = 25
_JOINED_MOST: Final = 400_000
_ROOM_MOST: Final = 4_000_000


@dataclass(frozen=True, slots=True)
class Choices:
    """Covers, bait after bait: the bait, pence, the set of sellers, pence with each seller."""

    baits: Ints
    pence: Ints
    sets: Ints
    spends: Ints


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
        hint[columns] = self._bound_raise(pence, spends, tilt=hint[columns])
        self._lists = self._lists_within((limit - 1) * _PARTS - self._top, pence, spends)

    def _lists_within(self, slack: int, every: Iterable[Ints], spent: Iterable[Ints]) -> Lists:
        """Each bait's covers at most `slack` above its least by tilted pence, and that least."""
        lists = []
        for pence, spends in zip(every, spent, strict=True):
            tilted = pence * _PARTS - spends @ self._parts
            fits = tilted <= tilted.min() + slack
            lists.append((pence[fits], spends[fits], int(tilted.min())))
        return lists

    def _bound_raise(self, pence: Ints, spends: Ints, *, tilt: Floats) -> Floats:
        """Tilt prices, a step at a time, towards spending what is asked."""
        rows = np.arange(len(pence))
        self._parts = np.zeros(len(tilt), dtype=np.int64)
        top = -1
        for _ in range(_ROUNDS):
            parts = np.rint(tilt).astype(np.int64)
            tilted = pence * _PARTS - spends @ parts
            at = tilted.argmin(axis=1)
            bound = int(tilted[rows, at].sum() + parts @ self.asks)
            if bound > top:
                top, self._parts = bound, parts
            lacking = self.asks - spends[rows, at].sum(axis=0)
            if (lacking <= 0).all():
                self.seen = min(self.seen, int(pence[rows, at].sum()))
                self.limit = min(self.limit, self.seen)
            gap = self.limit * _PARTS - bound
            if -(-top // _PARTS) >= self.limit or not lacking.any():
                break
            push = np.where((tilt <= 0) & (lacking < 0), 0, lacking).astype(np.float64)
            if not push.any():
                break
            tilt = np.clip(tilt + push * (gap / float(push @ push)), 0, 4 * _PARTS)
        self.bound = max(self.bound, -(-top // _PARTS))
        self._top = top
        return self._parts.astype(np.float64)

    def least_find(self, limit: int, *, deadline: float) -> int:
        """The least goods in pence below `limit`, or `limit`.

        Raises TooLarge where that cannot be told, too many covers spending about what is asked,
        and OutOfTime.
        """
        room = (limit - 1) * _PARTS - self._top
        slack = min(room, self.bound * _PARTS - self._top)
        while slack >= 0:
            found, whole = self._least_within(slack, joined=_JOINED_MOST, deadline=deadline)
            if not whole and found != self.bound:
                found, whole = self._least_within(slack, joined=_JOINED_MOST * 4, deadline=deadline)
            if found is not None and (whole or found == self.bound):
                return found
            if found is not None or (not whole and slack == room):
                raise TooLarge
            if slack == room:
                break
            slack = min(room, slack * 4 + 2 * _PARTS)
        return limit

    def _least_within(self, slack: int, *, joined: int, deadline: float) -> tuple[int | None, bool]:
        """The least goods found at most `slack` above the bound; whether all were looked at.

        Where sums are too many, only some are followed, evenly spaced: what is found stands.
        """
        covers, spent = [pence for pence, _, _ in self._lists], [s for _, s, _ in self._lists]
        lists = [
            (*_undominated(pence, spends), lowest)
            for pence, spends, lowest in self._lists_within(slack, covers, spent)
        ]
        lists.sort(key=lambda found: len(found[0]))
        reach = np.zeros((len(lists) + 1, len(self.asks)), dtype=np.int64)
        for n in reversed(range(len(lists))):
            reach[n] = reach[n + 1] + lists[n][1].max(axis=0)
        keys, have = np.zeros(1, dtype=np.int64), np.zeros((1, len(self.asks)), dtype=np.int64)
        least, whole = 0, True
        for n, (pence, spends, lowest) in enumerate(lists):
            time_check(deadline)
            least += lowest
            step = -(-len(keys) * len(pence) // joined)
            keys, have, whole = keys[::step], have[::step], whole and step == 1
            sums = (keys[:, None] + pence).ravel()
            both = np.minimum(have[:, None, :] + spends, self.asks).reshape(-1, len(self.asks))
            fits = (sums * _PARTS - both @ self._parts - least <= slack) & (
                (both + reach[n + 1] >= self.asks).all(axis=1)
            )
            if not fits.any():
                return None, whole
            keys, have = _undominated(sums[fits], both[fits])
        return int(keys.min()), whole


def _undominated(pence: Ints, spends: Ints) -> tuple[Ints, Ints]:
    if spends.shape[1]:
        return undominated(pence, spends)
    return pence.min(keepdims=True), spends[:1]
