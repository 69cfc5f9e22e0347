"""The least total alone, ties left open: what an order costs, not which packs make it.

The ways to buy are taken by their bounds, all below a limit; a limit below which there is an
order proves the least of them, and otherwise it is raised.
"""

from __future__ import annotations

from typing import Final

import numpy as np

from .baits import BaitCovers
from .cover import Ints, TooLarge, time_check
from .model import Problem
from .shelf import Shelf, ShelfCovers
from .way import Choices, Floats, WaySearch
from .ways import FAR, Ways

_KEY_MOST: Final = 2**54
_NEAREST_PART: Final = 5_000
_CHOICES_MOST: Final = 60_000
_PAIRS_MOST: Final = 4_000_000


def total_find(problem: Problem, *, deadline: float, shelf: Shelf | None = None) -> int | None:
    """The least total in pence that answers `problem`; None: nothing does.

    `shelf`: covers to be shared with problems of the same packs.
    Raises TooLarge where the ways or the covers outgrow what they are worth, and OutOfTime.
    """
    return (
        TotalSearch(problem, deadline=deadline, shelf=shelf).least(part=25) if problem.needs else 0
    )


class TotalSearch:
    """The ways to buy of one problem, and its baits."""

    def __init__(self, problem: Problem, *, deadline: float, shelf: Shelf | None = None) -> None:
        self.problem, self.deadline = problem, deadline
        if shelf is None or not shelf.serves(problem):
            shelf = Shelf(problem)
        self._most = sum(
            line.most * max(price for _, price in line.tiers) for line in problem.packs
        ) + sum(terms.fee for terms in problem.terms)
        if self._most * shelf.keys.penny > _KEY_MOST:
            raise TooLarge
        self.baits: list[BaitCovers] = [
            ShelfCovers(problem, bait=b, shelf=shelf) for b in range(len(problem.needs))
        ]
        self.ways = Ways(problem, baits=self.baits)
        self.seen = FAR

    def least(self, *, part: int) -> int | None:
        """The least total; None: nothing answers. The first limit is a `part` above the bound.

        A limit that is too far to look below is drawn nearer.
        """
        proved = int(self.ways.bound.min())
        nearest = proved // _NEAREST_PART + 1
        step = max(nearest, proved // part + 1)
        while proved <= self._most:
            limit = min(proved + step, self.seen + 1, self._most + 1)
            try:
                found = self.below(limit)
            except TooLarge:
                if limit - proved <= nearest:
                    raise
                if self.seen + 1 >= limit:  # nothing nearer was met on the way
                    step = max(nearest, (limit - proved) // 3)
                continue
            if found is not None:
                return found
            proved = limit
        return None

    def alive(self, limit: int) -> tuple[Ints, Choices]:
        """The ways that may come below `limit`, least bound first, and all covers they may buy."""
        ways = self.ways
        alive = np.flatnonzero(ways.bound < limit)
        alive = alive[np.argsort(ways.bound[alive], kind="stable")]
        least = ways.least[:, ways.sets[alive]]
        room = limit - 1 - ways.fees[alive] - least.sum(axis=0)
        return alive, self._choices(ways.sets[alive], most=least + room)

    def way_search(self, way: int, choices: Choices, *, limit: int, hint: Floats) -> WaySearch:
        """The search of one way for totals below `limit`."""
        wanted = int(self.ways.sets[way])
        return WaySearch(
            choices,
            least=self.ways.least[:, wanted],
            wanted=wanted,
            asks=self.ways.asks(way),
            limit=limit - int(self.ways.fees[way]),
            hint=hint,
        )

    def below(self, limit: int) -> int | None:
        """The least total that is below `limit`, if there is one."""
        ways = self.ways
        alive, choices = self.alive(limit)
        hint = np.zeros(len(ways.sellers))
        best = limit
        waiting: list[tuple[int, int, int, WaySearch]] = []
        for way in alive:
            time_check(self.deadline)
            if int(ways.bound[way]) >= best:
                break
            fee = int(ways.fees[way])
            search = self.way_search(int(way), choices, limit=best, hint=hint)
            self.seen = min(self.seen, search.seen + fee)
            best = min(best, self.seen)
            if search.bound + fee < best:
                waiting.append((search.bound + fee, fee, len(waiting), search))
        for bound, fee, _, search in sorted(waiting):
            if bound >= best:
                break
            try:
                best = min(best, search.least_find(best - fee, deadline=self.deadline) + fee)
            finally:
                self.seen = min(self.seen, search.seen + fee)
        return best if best < limit else None

    def _choices(self, sets: Ints, *, most: Ints) -> Choices:
        """All covers that one of `sets` may buy for its `most` pence, bait by bait."""
        found = []
        for b in range(len(self.baits)):
            within = np.full(1 << len(self.ways.sellers), -1, dtype=np.int64)
            np.maximum.at(within, sets, most[b])
            for j in range(len(self.ways.sellers)):
                pairs = within.reshape(-1, 2, 1 << j)
                np.maximum(pairs[:, 0], pairs[:, 1], out=pairs[:, 0])
            found.append(self._choices_of(b, within=within))
        widest = max(counts.shape[1] for *_, counts in found)
        counts = np.zeros((sum(len(pence) for pence, *_ in found), widest), dtype=np.int64)
        row = 0
        for *_, mine in found:
            counts[row : row + len(mine), : mine.shape[1]] = mine
            row += len(mine)
        return Choices(
            np.repeat(np.arange(len(found)), [len(pence) for pence, *_ in found]),
            np.concatenate([pence for pence, *_ in found]),
            np.concatenate([sets for _, sets, _, _ in found]),
            np.concatenate([spends for _, _, spends, _ in found]),
            counts,
        )

    def _choices_of(self, b: int, *, within: Ints) -> tuple[Ints, Ints, Ints, Ints]:
        """All covers of a bait for at most the pence that `within` has for its set."""
        bait, sellers = self.baits[b], self.ways.sellers
        amounts = pence = sets = np.zeros(1, dtype=np.int64)
        spends = np.zeros((1, len(sellers)), dtype=np.int64)
        counts = np.zeros((1, len(bait.packs)), dtype=np.int64)
        for n, pack in enumerate(bait.packs):
            time_check(self.deadline)
            options, at = bait.options_all(pack), sellers.index(self.problem.packs[pack].supplier)
            if len(pence) * len(options.keys) > _PAIRS_MOST:
                raise TooLarge
            each = options.keys // bait.keys.penny
            have = amounts[:, None] + options.amounts
            rest = bait.cover(bait.packs[n + 1 :]).at(bait.need - have)
            total = pence[:, None] + each
            both = sets[:, None] | np.where(options.counts > 0, 1 << at, 0)
            ends = total + np.minimum(rest // bait.keys.penny, FAR)
            row, column = np.nonzero(ends <= within[both])
            if len(row) > _CHOICES_MOST:
                raise TooLarge
            amounts = np.minimum(have[row, column], bait.need)
            pence, sets, spends = total[row, column], both[row, column], spends[row]
            spends[:, at] += each[column]
            counts = counts[row]
            counts[:, n] = options.counts[column]
        return pence, sets, spends, counts
