"""Covers worked out once for all members who buy the same baits from the same packs.

The least keys of a cover hold for every amount up to the one it was made for, so those made for
the member who needs the most serve everybody. They hold only where a pack that is the same may be
bought as often: an order in which `max_packs` of a pack is another needs its own.
"""

from __future__ import annotations

from .baits import BaitCovers, Keys
from .cover import Cover, Ints
from .listed import Listed
from .model import Problem

#: The packs of a bait, each with its supplier, amount, least and most.
Signature = tuple[tuple[str, int, int, int, int], ...]
#: By packs, need and sellers: the pence up to which covers are listed, None where too many are.
Lists = dict[tuple[Signature, int, tuple[int, ...]], tuple[int, Listed | None]]


class Shelf:
    """The covers of a problem whose needs are, bait by bait, the most that anybody needs.

    `shared`: whether it serves other problems too, so that lists of covers are worth keeping.
    """

    def __init__(self, problem: Problem, *, shared: bool = True) -> None:
        self.problem, self.keys = problem, Keys(problem)
        self.at = {line.id: n for n, line in enumerate(problem.packs)}
        self.lists: Lists | None = {} if shared else None
        self._baits: dict[int, BaitCovers] = {}
        self._tables: dict[tuple[int, tuple[int, ...]], Ints | None] = {}

    def serves(self, problem: Problem) -> bool:
        """Whether the keys are wide enough for so many packs and suppliers as the problem's."""
        needed = Keys(problem)
        return needed.supplier <= self.keys.supplier and needed.penny <= self.keys.penny

    def bait(self, pack: int) -> BaitCovers:
        """The covers of the bait of one of the shelf's packs."""
        bait = self.problem.packs[pack].bait
        if bait not in self._baits:
            self._baits[bait] = BaitCovers(self.problem, bait=bait, keys=self.keys)
        return self._baits[bait]

    def table(self, pack: int, sellers: tuple[int, ...]) -> Ints | None:
        """Least keys of a pack's bait, a row for each set of `sellers`, a column for each amount.

        None where amounts are too many for a table.
        """
        covers = self.bait(pack)
        place = (covers.bait, sellers)
        if place not in self._tables:
            self._tables[place] = covers.table(sellers)
        return self._tables[place]


class ShelfCovers(BaitCovers):
    """One bait of a member's problem, its covers from the shelf where the packs are the same."""

    def __init__(self, problem: Problem, *, bait: int, shelf: Shelf) -> None:
        super().__init__(problem, bait=bait, keys=shelf.keys)
        self._shelf, self.lists = shelf, shelf.lists
        lines = (problem.packs[pack] for pack in self.packs)
        self.signature: Signature = tuple(
            (line.id, line.supplier, line.amount, line.least, line.most) for line in lines
        )
        self._shelved = all(self._is_shelved(pack) for pack in self.packs)

    def _is_shelved(self, pack: int) -> bool:
        """Whether the shelf has the pack, in amounts on the same grid, for as much or more."""
        line = self.problem.packs[pack]
        at = self._shelf.at.get(line.id)
        if at is None:
            return False
        shelved = self._shelf.problem.packs[at]
        need = self._shelf.problem.needs[shelved.bait]
        return shelved.amount == line.amount and shelved.most >= line.most and need >= self.need

    def leasts(self, sellers: tuple[int, ...]) -> Ints:
        """The least key from every set of `sellers`.

        Where a shop takes part with all its packs of the bait, a set of shops is the same on the
        shelf.
        """
        table = None
        if self._shelved and self.packs and self._whole():
            at = self._shelf.at[self.problem.packs[self.packs[0]].id]
            table = self._shelf.table(at, sellers)
        if table is None:
            return super().leasts(sellers)
        found: Ints = table[:, self.need]
        return found

    def _whole(self) -> bool:
        """Whether no pack that these shops have on the shelf is left out of the problem."""
        covers = self._shelf.bait(self._shelf.at[self.problem.packs[self.packs[0]].id])
        return len(covers.packs_of(self.mask)) == len(self.packs)

    def cover(self, packs: tuple[int, ...]) -> Cover:
        """The least keys from these packs alone."""
        if not self._shelved or not packs:
            return super().cover(packs)
        places = tuple(self._shelf.at[self.problem.packs[pack].id] for pack in packs)
        return self._shelf.bait(places[0]).cover(places)
