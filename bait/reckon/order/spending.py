"""Least cover of every bait when some suppliers must be bought from for at least so much.

Only these suppliers tie the baits together: each bait's covers are listed with what they spend
with them, and the lists are joined bait by bait, dropping what cannot win.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from .baits import BaitCovers
from .cover import NEVER, Ints, TooLarge

_STATES_MOST = 400_000
_PAIRS_MOST = 1_500

Bought = tuple[tuple[int, int], ...]


@dataclass(frozen=True, slots=True)
class Asked:
    """Spend at least `pence` with `supplier`."""

    supplier: int
    pence: int


@dataclass(frozen=True, slots=True)
class Spendings:
    """Ways to cover: a key each, and pence with each supplier asked for (columns)."""

    keys: Ints
    spends: Ints


class SpendingCovers:
    """The baits sold by `suppliers` (bits), with what is asked to be spent."""

    def __init__(
        self, baits: Sequence[BaitCovers], *, suppliers: int, asked: Sequence[Asked]
    ) -> None:
        self.suppliers, self.asked = suppliers, asked
        self.targets = np.array([a.pence for a in asked], dtype=np.int64)
        self.asked_mask = sum(1 << a.supplier for a in asked)
        self.tied = [b for b in baits if b.mask & self.asked_mask & suppliers]
        self.loose = [b for b in baits if not b.mask & self.asked_mask & suppliers]
        self.least = sum(b.least(suppliers) for b in baits)
        self.penny = baits[0].keys.penny if baits else 1

    def best(self, *, limit: int) -> tuple[int, Bought] | None:
        """The least key within `limit`, with the smallest list of (pack, count) that has it."""
        room = limit - self.least
        slack = min(room, 40 * self.penny)
        while slack >= 0:
            key = self._key_within(slack)
            if key is not None:
                return self.least + key, self._listing(key)
            if slack == room:
                return None
            slack = min(room, slack * 3)
        return None

    def _key_within(self, slack: int) -> int | None:
        """How far above the sum of least covers the answer is; None: further than `slack`."""
        lists = [self._bait_spendings(bait, slack=slack) for bait in self.tied]
        reach = np.zeros((len(lists) + 1, len(self.asked)), dtype=np.int64)
        for n in reversed(range(len(lists))):
            reach[n] = reach[n + 1] + lists[n].spends.max(axis=0)
        keys = np.zeros(1, dtype=np.int64)
        spends = np.zeros((1, len(self.asked)), dtype=np.int64)
        for n, found in enumerate(lists):
            keys, spends = self._join(keys, spends, found, slack=slack)
            alive = (spends + reach[n + 1] >= self.targets).all(axis=1)
            keys, spends = keys[alive], spends[alive]
            if not len(keys):
                return None
        done = (spends >= self.targets).all(axis=1)
        return int(keys[done].min()) if done.any() else None

    def _join(self, keys: Ints, spends: Ints, found: Spendings, *, slack: int) -> tuple[Ints, Ints]:
        if len(keys) * len(found.keys) > _STATES_MOST * 20:
            raise TooLarge
        sums = keys[:, None] + found.keys
        left, right = np.nonzero(sums <= slack)
        joined = np.minimum(spends[left] + found.spends[right], self.targets)
        return _undominated(sums[left, right], joined)

    def _bait_spendings(self, bait: BaitCovers, *, slack: int) -> Spendings:
        """Covers of one bait at most `slack` above its least; keys count from the least."""
        lines = bait.problem.packs
        least = bait.least(self.suppliers)
        packs = bait.packs_of(self.suppliers)
        everything = bait.cover(packs)
        others = bait.cover(bait.packs_of(self.suppliers & ~self.asked_mask))
        amounts = keys = np.zeros(1, dtype=np.int64)
        spends = np.zeros((1, len(self.asked)), dtype=np.int64)
        for column, asked in enumerate(self.asked):
            for pack in packs:
                if lines[pack].supplier != asked.supplier:
                    continue
                options = bait.options_all(pack)
                if len(keys) * len(options.keys) > _STATES_MOST * 20:
                    raise TooLarge
                sums = keys[:, None] + options.keys
                have = np.minimum(amounts[:, None] + options.amounts, bait.need)
                left, right = np.nonzero(sums + everything.at(bait.need - have) <= least + slack)
                keys, amounts = sums[left, right], have[left, right]
                spends = spends[left]
                spends[:, column] += (options.keys // bait.keys.penny)[right]
                spends = np.minimum(spends, self.targets)
                keys, both = _undominated(keys, np.column_stack([amounts, spends]))
                amounts, spends = both[:, 0], both[:, 1:]
        keys = keys + others.at(bait.need - amounts) - least
        within = keys <= slack
        return Spendings(*_undominated(keys[within], spends[within]))

    def _listing(self, key: int) -> Bought:
        """Of the covers with exactly this key above the least, the smallest list of packs."""
        lists = [_bait_listings(self, bait, slack=key) for bait in self.tied]
        targets = tuple(int(t) for t in self.targets)
        reach = [[0] * len(targets)]
        for found in reversed(lists):
            most = [max(spends[c] for _, spends in found) for c in range(len(targets))]
            reach.append([a + b for a, b in zip(reach[-1], most, strict=True)])
        reach.reverse()
        states: dict[tuple[int, tuple[int, ...]], Bought] = {(0, (0,) * len(targets)): ()}
        for n, found in enumerate(lists):
            grown: dict[tuple[int, tuple[int, ...]], Bought] = {}
            for (have, spent), bought in states.items():
                for (more, spends), listing in found.items():
                    if have + more > key:
                        continue
                    both = tuple(
                        min(a + b, t) for a, b, t in zip(spent, spends, targets, strict=True)
                    )
                    if any(b + r < t for b, r, t in zip(both, reach[n + 1], targets, strict=True)):
                        continue
                    place = (have + more, both)
                    joined = tuple(sorted(bought + listing))
                    if place not in grown or joined < grown[place]:
                        grown[place] = joined
            states = grown
            if len(states) > _STATES_MOST // 20:
                raise TooLarge
        won = min(b for (have, spent), b in states.items() if have == key and spent == targets)
        fixed = [bait.cheapest(self.suppliers) for bait in self.loose]
        return tuple(sorted(won + tuple(line for c in fixed if c for line in c.bought)))


def _undominated(keys: Ints, gains: Ints) -> tuple[Ints, Ints]:
    """Rows that no other beats at once in key (small) and in every column of gains (large)."""
    columns = [-gains[:, c] for c in reversed(range(gains.shape[1]))]
    order = np.lexsort([*columns, keys])
    keys, gains = keys[order], gains[order]
    if gains.shape[1] == 1:
        reach = np.maximum.accumulate(gains[:, 0])
        keep = np.concatenate(([True], gains[1:, 0] > reach[:-1]))[: len(keys)]
        return keys[keep], gains[keep]
    if len(keys) > 1:
        fresh = np.concatenate(([True], (gains[1:] != gains[:-1]).any(axis=1)))
        keys, gains = keys[fresh], gains[fresh]
    if 1 < len(keys) <= _PAIRS_MOST:
        beaten = (gains[None, :, :] >= gains[:, None, :]).all(axis=2)
        keep = np.logical_not(np.tril(beaten, -1).any(axis=1))
        keys, gains = keys[keep], gains[keep]
    if len(keys) > _STATES_MOST:
        raise TooLarge
    return keys, gains


def _bait_listings(
    covers: SpendingCovers, bait: BaitCovers, *, slack: int
) -> dict[tuple[int, tuple[int, ...]], Bought]:
    """For each key above the least (up to `slack`) and spending, the smallest list of packs."""
    lines, penny = bait.problem.packs, bait.keys.penny
    packs, least = bait.packs_of(covers.suppliers), bait.least(covers.suppliers)
    column = {a.supplier: n for n, a in enumerate(covers.asked)}
    targets = [int(t) for t in covers.targets]
    found: dict[tuple[int, tuple[int, ...]], Bought] = {}

    def grow(n: int, need: int, key: int, spends: tuple[int, ...], bought: Bought) -> None:
        if n == len(packs):
            if need <= 0:
                found.setdefault((key - least, spends), bought)
                if len(found) > _STATES_MOST // 20:
                    raise TooLarge
            return
        pack = packs[n]
        at = column.get(lines[pack].supplier)
        options = bait.options[pack] if at is None else bait.options_all(pack)
        ends = options.keys + bait.cover(packs[n + 1 :]).at(need - options.amounts)
        fits = np.flatnonzero(ends + key <= least + slack)
        for i in sorted(fits, key=lambda i: int(options.counts[i]) or NEVER):
            count, more = int(options.counts[i]), spends
            if at is not None and count:
                pence = min(targets[at], spends[at] + int(options.keys[i]) // penny)
                more = (*spends[:at], pence, *spends[at + 1 :])
            grow(
                n + 1,
                max(0, need - int(options.amounts[i])),
                key + int(options.keys[i]),
                more,
                (*bought, (pack, count)) if count else bought,
            )

    grow(0, bait.need, 0, (0,) * len(targets), ())
    return found
