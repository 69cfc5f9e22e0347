"""The one answer that wins every tie, from the ways to buy that reach the least total.

Once the least total is known, only few ways and few covers of each bait can still be part of an
answer that costs it. They are joined bait by bait; a sum is kept only where the baits to come
can end it at exactly the least total with everything asked for spent.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

from .baits import BaitCovers
from .choices import Choices
from .cover import TooLarge, time_check
from .joining import Joining, Listing
from .milp import Solved
from .model import Counts, Problem, counts_judge
from .shelf import Shelf
from .spending import Bought
from .totals import TotalSearch, Waiting

#: The first limit tried is this part of the bound above it: a team's bound is close.
_FIRST_PART: Final = 600


def order_find(problem: Problem, *, deadline: float, shelf: Shelf | None = None) -> Solved:
    """The preferred answer: least total, fewest suppliers, fewest packs, smallest list.

    `shelf`: covers to be shared with problems of the same packs.
    Raises TooLarge where ways, covers or sums outgrow what they are worth, and OutOfTime.
    """
    if not problem.needs:
        return Solved((0,) * len(problem.packs), 0, settled=True)
    search = TotalSearch(problem, deadline=deadline, shelf=shelf)
    total = search.least(part=_FIRST_PART)
    if total is None:
        return Solved(None, 0, settled=False, feasible=False)
    counts = TieSearch(search, total=total, deadline=deadline).run()
    verdict = counts_judge(problem, counts)
    assert verdict is not None and verdict.total == total
    return Solved(counts, total, settled=True)


class TieSearch:
    """Which of the answers of one total is preferred."""

    def __init__(self, search: TotalSearch, *, total: int, deadline: float) -> None:
        self.search, self.total, self.deadline = search, total, deadline
        self.alive, self.choices = search.alive(total + 1)

    def run(self) -> Counts:
        """The counts of the preferred answer."""
        _, waiting = self.search.screened(self.alive, self.choices, limit=self.total + 1, ties=True)
        suppliers = [int(self.search.ways.sets[one.way]).bit_count() for one in waiting]
        for few in sorted(set(suppliers)):
            found: list[Listing] = []
            for one, many in zip(waiting, suppliers, strict=True):
                if many == few:
                    found += self._way(one)
            if found:
                return self._counts(min(found)[1])
        raise TooLarge

    def _way(self, one: Waiting) -> list[Listing]:
        time_check(self.deadline)
        goods = self.total - int(self.search.ways.fees[one.way])
        search = self.search.way_search(one, self.choices, limit=self.total + 1)
        if search.bound > goods:
            return []
        joined = Joining(search, goods=goods, deadline=self.deadline)
        best = joined.best(lambda row: _bought(self.search.baits, self.choices, row=row))
        return [] if best is None else [best]

    def _counts(self, bought: Bought) -> Counts:
        counts = [0] * len(self.search.problem.packs)
        for pack, count in bought:
            counts[pack] = count
        return tuple(counts)


def _bought(baits: Sequence[BaitCovers], choices: Choices, *, row: int) -> Bought:
    bait = int(choices.baits[row])
    packs, counts = baits[bait].packs, choices.lists[bait].counts[choices.places[row]].tolist()
    return tuple((pack, count) for pack, count in zip(packs, counts, strict=True) if count)
