"""One bait at a time: its least cover from any set of suppliers, and which packs make it."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Final

import numpy as np

from .cover import NEVER, Cover, Ints, Options, TooLarge
from .model import Problem


@dataclass(frozen=True, slots=True)
class Cheapest:
    """A least cover of one bait: its key, (pack, count) in pack order, pence by supplier."""

    key: int
    bought: tuple[tuple[int, int], ...]
    spend: dict[int, int]


#: No key may be larger, so that sums of a few stay whole in 64 bits.
KEY_MOST: Final = 2**54


class Keys:
    """How pence, suppliers and packs stand together in one whole number."""

    def __init__(self, problem: Problem) -> None:
        self.supplier = sum(line.most for line in problem.packs) + 1
        self.penny = self.supplier * (len(problem.terms) + 1)

    def key(self, *, pence: int, suppliers: int = 0, packs: int = 0) -> int:
        """Fewer pence come before fewer suppliers, and those before fewer packs."""
        return pence * self.penny + suppliers * self.supplier + packs


#: What the covers of one bait may keep at once: 16 bytes a row.
ROWS_MOST = 8_000_000
#: How often a count may be tried against a row, for one bait: a few seconds.
STEPS_MOST = 400_000_000
#: A tilt is counted in this many parts of the whole price.
TILT = 32
Tilt = tuple[tuple[int, int], ...]


class BaitCovers:
    """Least covers of one bait, kept as they are asked for.

    Packs stand in id order and each is tried at one, two, … packs and last at none, so that of
    equal covers the one with the smallest list of (pack, count) is found.
    """

    def __init__(self, problem: Problem, *, bait: int, keys: Keys, tilt: Tilt = ()) -> None:
        self.need = problem.needs[bait]
        self.problem, self.keys, self.bait, self.tilt = problem, keys, bait, dict(tilt)
        self._tilted: dict[Tilt, BaitCovers] = {}
        self._unbound: BaitCovers | None = None
        self.packs = tuple(n for n, line in enumerate(problem.packs) if line.bait == bait)
        self.mask = 0
        self._options: dict[int, Options] = {}
        for pack in self.packs:
            self.mask |= 1 << problem.packs[pack].supplier
        self._covers: dict[tuple[int, ...], Cover] = {(): Cover.nothing(self.need)}
        self._rows = self._steps = 0
        self._cheapest: dict[int, Cheapest | None] = {}
        self._least: dict[int, int] = {}

    def options_cut(self, pack: int) -> Options:
        """The counts of a pack that may be part of a least cover."""
        found = self._options.get(pack)
        if found is None:
            found = self._options[pack] = self.options_all(pack).cut(self.need)
        return found

    def options_all(self, pack: int) -> Options:
        """Every count of a pack from its least (none, unless bought already) to its most."""
        line = self.problem.packs[pack]
        counts = np.arange(line.least, line.most + 1, dtype=np.int64)
        price = np.full(len(counts), line.tiers[0][1], dtype=np.int64)
        for start, each in line.tiers[1:]:
            price[max(0, start - line.least) :] = each
        pence: Ints = counts * price * self.keys.penny
        found = pence + counts
        if self.tilt:
            found = found * TILT - pence * self.tilt.get(line.supplier, 0)
        return Options(counts, counts * line.amount, found)

    def unbound(self) -> BaitCovers:
        """The same bait with nothing bought already: what some packs may still add is above it."""
        if self._unbound is None:
            lines = tuple(replace(line, least=0) for line in self.problem.packs)
            free = replace(self.problem, packs=lines)
            tilt = tuple(self.tilt.items())
            self._unbound = BaitCovers(free, bait=self.bait, keys=self.keys, tilt=tilt)
        return self._unbound

    def tilted(self, tilt: Tilt) -> BaitCovers:
        """The same bait with keys times `TILT`, less so many parts of a supplier's pence."""
        mine = tuple((s, parts) for s, parts in tilt if self.mask >> s & 1) or ((-1, 0),)
        if mine not in self._tilted:
            self._tilted[mine] = BaitCovers(self.problem, bait=self.bait, keys=self.keys, tilt=mine)
        return self._tilted[mine]

    def least(self, suppliers: int) -> int:
        """The least key from a set of suppliers (bits); at least `NEVER` when they cannot."""
        mask = suppliers & self.mask
        found = self._least.get(mask)
        if found is None:
            found = self.cover(self.packs_of(mask)).one(self.need)
            self._least[mask] = found
        return found

    def leasts(self, sellers: tuple[int, ...]) -> Ints:
        """The least key from every set of `sellers`, at the place whose bits say who is in it."""
        return np.array([self.least(mask) for mask in masks_of(sellers)], dtype=np.int64)

    def table(self, sellers: tuple[int, ...]) -> Ints | None:
        """Least keys: a row for every set of `sellers`, a column for each amount.

        A set is the place whose bits say who is in it. A pack is added to all the sets that hold
        its seller at once. None where amounts are too many for a table.
        """
        nothing = Cover.nothing(self.need).table
        if nothing is None:
            return None
        if len(nothing) << len(sellers) > ROWS_MOST:
            raise TooLarge
        found = np.tile(nothing, (1 << len(sellers), 1))
        asked = np.arange(self.need + 1, dtype=np.int64)
        for pack in self.packs_of(sum(1 << seller for seller in sellers)):
            at = sellers.index(self.problem.packs[pack].supplier)
            holding = found.reshape(-1, 2, 1 << at, self.need + 1)[:, 1]
            options, before = self.options_cut(pack), holding.copy()
            holding[:] = NEVER
            for amount, key in zip(options.amounts.tolist(), options.keys.tolist(), strict=True):
                more = before[..., np.maximum(asked - amount, 0)] + key
                np.minimum(holding, more, out=holding)
        return found

    def packs_of(self, suppliers: int) -> tuple[int, ...]:
        """The packs that these suppliers (bits) sell, in id order."""
        lines = self.problem.packs
        return tuple(p for p in self.packs if suppliers >> lines[p].supplier & 1)

    def cover(self, packs: tuple[int, ...]) -> Cover:
        """The least keys from these packs alone."""
        known = 0
        while packs[known:] not in self._covers:
            known += 1
        found = self._covers[packs[known:]]
        for at in reversed(range(known)):  # no recursion: a shop may sell a bait in 2,000 packs
            found = found.with_pack(self.options_cut(packs[at]))
            self._rows += found.rows
            self._steps += found.rows * len(self.options_cut(packs[at]).counts)
            if self._rows > ROWS_MOST or self._steps > STEPS_MOST:
                raise TooLarge
            self._covers[packs[at:]] = found
        return found

    def cheapest(self, suppliers: int) -> Cheapest | None:
        """The least cover from a set of suppliers (bits), None when they cannot cover it."""
        mask = suppliers & self.mask
        if mask not in self._cheapest:
            self._cheapest[mask] = self._cheapest_find(mask)
        return self._cheapest[mask]

    def _cheapest_find(self, mask: int) -> Cheapest | None:
        key = self.least(mask)
        if key >= NEVER:
            return None
        packs, left, need = self.packs_of(mask), key, self.need
        bought: list[tuple[int, int]] = []
        spend: dict[int, int] = {}
        for n, pack in enumerate(packs):
            if not left:
                break
            options = self.options_cut(pack)
            rest = self.cover(packs[n + 1 :]).at(need - options.amounts)
            fits = np.flatnonzero(options.keys + rest == left)
            counts = options.counts[fits]
            best = int(fits[np.argmin(np.where(counts > 0, counts, counts.max() + 1))])
            count = int(options.counts[best])
            left -= int(options.keys[best])
            need -= int(options.amounts[best])
            if count:
                line = self.problem.packs[pack]
                bought.append((pack, count))
                spend[line.supplier] = spend.get(line.supplier, 0) + line.cost(count)
        return Cheapest(key, tuple(bought), spend)


def masks_of(sellers: tuple[int, ...]) -> list[int]:
    """Every set of `sellers` as bits by supplier, in the order of their bits among `sellers`."""
    masks = [0]
    for seller in sellers:
        masks += [mask | 1 << seller for mask in masks]
    return masks
