"""The least total alone, ties left open: what an order costs, not which packs make it.

The ways to buy are taken by their bounds, all below a limit; a limit below which there is an
order proves the least of them, and otherwise it is raised.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

import numpy as np

from .baits import KEY_MOST
from .choices import Choices, choices_find
from .cover import Floats, Ints, TooLarge, time_check
from .model import Problem
from .screen import Screen
from .shelf import Shelf, ShelfCovers
from .way import WaySearch
from .ways import FAR, Ways

_NEAREST_PART: Final = 5_000
#: How many ways are screened at first, and at most how many covers of ways at once.
_SCREENED_FIRST: Final = 32
_SCREENED_MOST: Final = 500_000


def total_find(problem: Problem, *, deadline: float, shelf: Shelf | None = None) -> int | None:
    """The least total in pence that answers `problem`; None: nothing does.

    `shelf`: covers to be shared with problems of the same packs.
    Raises TooLarge where the ways or the covers outgrow what they are worth, and OutOfTime.
    """
    return (
        TotalSearch(problem, deadline=deadline, shelf=shelf).least(part=25) if problem.needs else 0
    )


@dataclass(frozen=True, slots=True)
class Waiting:
    """A way that was screened: a bound of its total, its place, the multipliers by seller."""

    bound: int
    way: int
    parts: Floats


class TotalSearch:
    """The ways to buy of one problem, and its baits."""

    def __init__(self, problem: Problem, *, deadline: float, shelf: Shelf | None = None) -> None:
        self.problem, self.deadline = problem, deadline
        if shelf is None or not shelf.serves(problem):
            shelf = Shelf(problem, shared=False)
        self._most = sum(
            line.most * max(price for _, price in line.tiers) for line in problem.packs
        ) + sum(terms.fee for terms in problem.terms)
        if self._most * shelf.keys.penny > KEY_MOST:
            raise TooLarge
        self.baits: list[ShelfCovers] = [
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
                step = max(nearest, (min(limit, self.seen + 1) - proved) // 2)
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
        return alive, choices_find(
            self.baits,
            sellers=ways.sellers,
            sets=ways.sets[alive],
            most=least + room,
            deadline=self.deadline,
        )

    def below(self, limit: int) -> int | None:
        """The least total that is below `limit`, if there is one."""
        alive, choices = self.alive(limit)
        best, waiting = self.screened(alive, choices, limit=limit)
        for one in sorted(waiting, key=lambda one: one.bound):
            if one.bound >= best:
                break
            search, fee = self.way_search(one, choices, limit=best), int(self.ways.fees[one.way])
            try:
                best = min(best, search.least_find(best - fee, deadline=self.deadline) + fee)
            finally:
                self.seen = min(self.seen, search.seen + fee)
        return best if best < limit else None

    def screened(
        self, some: Ints, choices: Choices, *, limit: int, ties: bool = False
    ) -> tuple[int, list[Waiting]]:
        """The least total met below `limit` (the limit: none), and the ways that may come lower.

        `some` ways stand least bound first. With `ties` all that may come below the limit stay.
        """
        ways, best, waiting = self.ways, limit, list[Waiting]()
        hint = np.zeros(len(ways.sellers))
        most = max(1, _SCREENED_MOST // len(choices.pence))
        start, size = 0, min(_SCREENED_FIRST, most)
        while start < len(some) and int(ways.bound[some[start]]) < best:
            time_check(self.deadline)
            block = some[start : start + size]
            start, size = start + size, min(2 * size, most)
            screen = self._screen(block, choices, limit=best)
            screen.raise_all(hint)
            if screen.best < best and not ties:
                best, self.seen = screen.best, min(self.seen, screen.best)
            hint = screen.parts.mean(axis=0)
            bounds = np.maximum(ways.bound[block], screen.bounds + ways.fees[block])
            waiting += map(Waiting, bounds.tolist(), block.tolist(), screen.parts)
        return best, [one for one in waiting if one.bound < best]

    def _screen(self, some: Ints, choices: Choices, *, limit: int) -> Screen:
        ways = self.ways
        least = ways.least[:, ways.sets[some]]
        return Screen(
            choices,
            sets=ways.sets[some],
            fees=ways.fees[some],
            asks=ways.asks(some),
            most=least + (limit - 1 - ways.fees[some] - least.sum(axis=0)),
            limit=limit,
        )

    def way_search(self, one: Waiting, choices: Choices, *, limit: int) -> WaySearch:
        """The search of one way for totals below `limit`."""
        ways, fee = self.ways, int(self.ways.fees[one.way])
        wanted = int(ways.sets[one.way])
        return WaySearch(
            choices,
            least=ways.least[:, wanted],
            wanted=wanted,
            asks=ways.asks(np.array([one.way]))[0],
            limit=limit - fee,
            bound=one.bound - fee,
            parts=one.parts,
        )
