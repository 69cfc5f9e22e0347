"""Covers of every bait that may still be joined, and what is left to be asked of their spending.

What every cover of a bait spends anyway is taken off what is asked; a seller with whom enough is
spent whatever is chosen asks nothing more. Fewer things asked make more sums alike.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

import numpy as np

from .cover import Ints

#: A multiplier is counted in this many parts of a penny.
PARTS: Final = 1024
_ROUNDS: Final = 4


@dataclass(frozen=True, slots=True)
class BaitList:
    """Covers of one bait: pence, spends of what is asked, their rows in the choices.

    `least` is the least of the bait's tilted pence.
    """

    pence: Ints
    spends: Ints
    rows: Ints
    least: int


@dataclass(frozen=True, slots=True)
class Narrowed:
    """One list for each bait, short lists first. A sum of one cover of each must spend `asks`.

    `slack`: how far the tilted pence of a sum may be above the sum of the lists' `least`.
    """

    lists: list[BaitList]
    asks: Ints
    parts: Ints
    slack: int

    def tilted(self, pence: Ints, spends: Ints) -> Ints:
        """Pence of sums, less each multiplier's part of what they spend."""
        found: Ints = pence * PARTS - spends @ self.parts
        return found


def narrowed(lists: list[BaitList], *, asks: Ints, parts: Ints, most: int) -> Narrowed | None:
    """The covers that a sum of at most `most` (pence times `PARTS`) may be made of.

    `parts` are multipliers of what is asked, any of which bound a sum. None: there is no such sum.
    """
    for _ in range(_ROUNDS):
        always = [found.spends.min(axis=0) for found in lists]
        left = asks - sum(always, np.zeros_like(asks))
        kept = np.flatnonzero(left > 0)
        asks, parts = left[kept], parts[kept]
        lists = [
            _list_of(found, np.minimum((found.spends - each)[:, kept], asks), parts=parts)
            for found, each in zip(lists, always, strict=True)
        ]
        slack = most - sum(found.least for found in lists) - int(asks @ parts)
        if slack < 0:
            return None
        before = sum(len(found.pence) for found in lists)
        lists = [_list_cut(found, parts=parts, slack=slack) for found in lists]
        if sum(len(found.pence) for found in lists) == before:
            break
    return Narrowed(sorted(lists, key=lambda found: len(found.pence)), asks, parts, slack)


def _list_of(found: BaitList, spends: Ints, *, parts: Ints) -> BaitList:
    least = int((found.pence * PARTS - spends @ parts).min())
    return BaitList(found.pence, spends, found.rows, least)


def _list_cut(found: BaitList, *, parts: Ints, slack: int) -> BaitList:
    fits = found.pence * PARTS - found.spends @ parts <= found.least + slack
    return BaitList(found.pence[fits], found.spends[fits], found.rows[fits], found.least)
