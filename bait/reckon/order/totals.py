"""The least total alone, ties left open: what an order costs, not which packs make it.

The ways to buy are taken by their bounds, all below a limit; a limit below which there is an
order proves the least of them, and otherwise it is raised.
"""

from __future__ import annotations

from typing import Final

import numpy as np

from .baits import BaitCovers, Keys
from .cover import Ints, TooLarge, time_check
from .model import Problem
from .way import Choices, WaySearch
from .ways import FAR, Ways

_KEY_MOST: Final = 2**54
_CHOICES_MOST: Final = 30_000
_PAIRS_MOST: Final = 2_000_000


def total_find(problem: Problem, *, deadline: float) -> int | None:
    """The least total in pence that answers `problem`; None: nothing does.

    Raises TooLarge where the ways or the covers outgrow what they are worth, and OutOfTime.
    """
    if not problem.needs:
        return 0
    most = sum(line.most * max(price for _, price in line.tiers) for line in problem.packs)
    most += sum(terms.fee for terms in problem.terms)
    if most * Keys(problem).penny > _KEY_MOST:
        raise TooLarge
    search = TotalSearch(problem, deadline=deadline)
    first = int(search.ways.bound.min())
    step = first // 25 + 1
    while first <= most:
        limit = min(first + step, search.seen + 1, most + 1)
        found = search.below(limit)
        if found is not None:
            return found
        if limit > most:
            return None
        step *= 2
    return None


class TotalSearch:
    """The ways to buy of one problem, and its baits."""

    def __init__(self, problem: Problem, *, deadline: float) -> None:
        self.problem, self.deadline = problem, deadline
        keys = Keys(problem)
        self.baits = [BaitCovers(problem, bait=b, keys=keys) for b in range(len(problem.needs))]
        self.ways = Ways(problem, baits=self.baits)
        self.seen = FAR

    def below(self, limit: int) -> int | None:
        """The least total that is below `limit`, if there is one."""
        ways = self.ways
        alive = np.flatnonzero(ways.bound < limit)
        alive = alive[np.argsort(ways.bound[alive], kind="stable")]
        least = ways.least[:, ways.sets[alive]]
        room = limit - 1 - ways.fees[alive] - least.sum(axis=0)
        choices = self._choices(ways.sets[alive], most=least + room)
        hint = np.zeros(len(ways.sellers))
        best = limit
        waiting: list[tuple[int, int, int, WaySearch]] = []
        for way in alive:
            time_check(self.deadline)
            if int(ways.bound[way]) >= best:
                break
            fee, wanted = int(ways.fees[way]), int(ways.sets[way])
            search = WaySearch(
                choices,
                least=ways.least[:, wanted],
                wanted=wanted,
                asks=ways.asks(int(way)),
                limit=best - fee,
                hint=hint,
            )
            self.seen = min(self.seen, search.seen + fee)
            best = min(best, self.seen)
            if search.bound + fee < best:
                waiting.append((search.bound + fee, fee, len(waiting), search))
        for bound, fee, _, search in sorted(waiting):
            if bound >= best:
                break
            best = min(best, search.least_find(best - fee, deadline=self.deadline) + fee)
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
        return Choices(
            np.repeat(np.arange(len(found)), [len(pence) for pence, _, _ in found]),
            *(np.concatenate(parts) for parts in zip(*found, strict=True)),
        )

    def _choices_of(self, b: int, *, within: Ints) -> tuple[Ints, Ints, Ints]:
        """All covers of a bait for at most the pence that `within` has for its set."""
        bait, sellers = self.baits[b], self.ways.sellers
        amounts = pence = sets = np.zeros(1, dtype=np.int64)
        spends = np.zeros((1, len(sellers)), dtype=np.int64)
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
        return pence, sets, spends
