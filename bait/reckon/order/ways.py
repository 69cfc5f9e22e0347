"""Every way to buy: from which suppliers, and for each the fee paid or waived.

With few suppliers all the ways can be listed, each with a bound. A way asks a least spend of
each of its suppliers; its total is the goods at the least that spend so much, and its fees.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

import numpy as np

from .baits import BaitCovers
from .cover import NEVER, Ints, TooLarge
from .model import Problem

_WAYS_MOST: Final = 600_000
_SETS_MOST: Final = 20_000
#: Pence that no order comes to.
FAR: Final = 2**50


class Ways:
    """One row for each way: `sets` (bit j: the j-th of `sellers`), `fees`, and a `bound`, pence.

    `least[b, sets]` is the least pence for bait b from a set, `FAR` where it cannot be covered.
    Raises TooLarge where there are more ways than it is worth to list.
    """

    def __init__(self, problem: Problem, *, baits: Sequence[BaitCovers]) -> None:
        self.sellers = sorted({line.supplier for line in problem.packs})
        terms = [problem.terms[s] for s in self.sellers]
        options = [
            ([] if problem.bound_to >> s & 1 else [(0, 0)])
            + [(t.fee, t.minimum)]
            + ([(0, max(t.minimum, t.free_from))] if t.fee and t.free_from is not None else [])
            for s, t in zip(self.sellers, terms, strict=True)
        ]
        if np.prod([float(len(o)) for o in options]) > _WAYS_MOST:
            raise TooLarge
        self._options = options
        self.sets = self.fees = asked = np.zeros(1, dtype=np.int64)
        for j, ways in enumerate(options):
            unused = 0 if problem.bound_to >> self.sellers[j] & 1 else 1
            bits = np.array([0] * unused + [1 << j] * (len(ways) - unused), dtype=np.int64)
            fees, spends = np.array(ways, dtype=np.int64).T
            self.sets = (self.sets[:, None] | bits).ravel()
            self.fees = (self.fees[:, None] + fees).ravel()
            asked = (asked[:, None] + spends).ravel()
        self.least = _least(baits, sellers=self.sellers)
        self.bound = self.fees + np.maximum(self.least.sum(axis=0)[self.sets], asked)

    def asks(self, some: Ints) -> Ints:
        """The least spend in pence that each of some ways (rows) asks of each of `sellers`."""
        found = []
        for ways in reversed(self._options):
            some, digits = np.divmod(some, len(ways))
            found.append(np.array([pence for _, pence in ways], dtype=np.int64)[digits])
        return np.stack(found[::-1], axis=1)


def _least(baits: Sequence[BaitCovers], *, sellers: list[int]) -> Ints:
    every = np.arange(1 << len(sellers), dtype=np.int64)
    found = np.zeros((len(baits), len(every)), dtype=np.int64)
    mine = [[j for j, s in enumerate(sellers) if bait.mask >> s & 1] for bait in baits]
    if sum(1 << len(js) for js in mine) > _SETS_MOST:
        raise TooLarge
    for b, (bait, js) in enumerate(zip(baits, mine, strict=True)):
        place = np.zeros(len(every), dtype=np.int64)
        for i, j in enumerate(js):
            place |= (every >> j & 1) << i
        keys = bait.leasts(tuple(sellers[j] for j in js))
        found[b] = np.where(keys < NEVER, keys // bait.keys.penny, FAR)[place]
    return found
