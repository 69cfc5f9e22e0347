"""Least cover of every bait when some suppliers must be bought from for at least so much.

Only these suppliers tie the baits together: each bait's covers are listed with what they spend
with them, and the lists are joined bait by bait, dropping what cannot win.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

import numpy as np

from .baits import KEY_MOST, TILT, BaitCovers, Tilt
from .cover import NEVER, Ints, TooLarge, time_check
from .front import undominated

_STATES_MOST = 400_000
_LISTED_MOST = 200  # packs of one bait: the listing calls itself once a pack


Bought = tuple[tuple[int, int], ...]
Spend = dict[int, int]


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
        self,
        baits: Sequence[BaitCovers],
        *,
        suppliers: int,
        asked: Sequence[Asked],
        deadline: float,
    ) -> None:
        self.suppliers, self.asked, self.deadline = suppliers, asked, deadline
        self.targets = np.array([a.pence for a in asked], dtype=np.int64)
        self.asked_mask = sum(1 << a.supplier for a in asked)
        self.tied = [b for b in baits if b.mask & self.asked_mask & suppliers]
        self.loose = [b for b in baits if not b.mask & self.asked_mask & suppliers]
        self.loose_least = sum(b.least(suppliers) for b in self.loose)
        found = [bait.cheapest(suppliers) for bait in self.loose]
        self.loose_bought = [line for c in found if c for line in c.bought]
        self.penny = baits[0].keys.penny if baits else 1
        self._tilt_take([0] * len(asked))

    def tilt_find(self, offer: Callable[[Bought], object]) -> int:
        """Tilt prices so that spending is where it is asked for; a key below every answer.

        Each supplier asked for gets a part of its pence taken off (a Lagrange multiplier, in
        whole parts), bisected to where the least covers just spend enough. Any tilt bounds: what
        is taken off is at least that part of what is asked. `offer` sees the covers on the way.
        """
        parts = [0] * len(self.asked)
        for _ in range(1 if len(self.asked) == 1 else 2):
            for n, asked in enumerate(self.asked):
                low, high = 0, TILT
                while low < high:
                    parts[n] = (low + high) // 2
                    if self._tilt_try(parts, offer=offer).get(asked.supplier, 0) >= asked.pence:
                        high = parts[n]
                    else:
                        low = parts[n] + 1
                tries = []
                for parts[n] in (max(0, low - 1), low):
                    self._tilt_try(parts, offer=offer)
                    tries.append((self._tilt_bound(parts), parts[n]))
                parts[n] = max(tries)[1]
        self._tilt_take(parts)
        return -(-self.bound // TILT)

    def _tilt_of(self, parts: Sequence[int]) -> Tilt:
        return tuple((a.supplier, p) for a, p in zip(self.asked, parts, strict=True) if p)

    def _tilt_try(self, parts: Sequence[int], *, offer: Callable[[Bought], object]) -> Spend:
        tilt, spend, bought = self._tilt_of(parts), dict[int, int](), list(self.loose_bought)
        time_check(self.deadline)
        for bait in self.tied:
            found = bait.tilted(tilt).cheapest(self.suppliers)
            if found is None:
                return {}
            bought += found.bought
            for supplier, pence in found.spend.items():
                spend[supplier] = spend.get(supplier, 0) + pence
        offer(tuple(sorted(bought)))
        return spend

    def _tilt_bound(self, parts: Sequence[int]) -> int:
        tilt = self._tilt_of(parts)
        least = sum(bait.tilted(tilt).least(self.suppliers) for bait in self.tied)
        taken = sum(p * a.pence for a, p in zip(self.asked, parts, strict=True))
        return least + taken * self.penny + TILT * self.loose_least

    def _tilt_take(self, parts: Sequence[int]) -> None:
        self.parts = np.array(parts, dtype=np.int64) * self.penny
        self.tilt, self.bound = self._tilt_of(parts), self._tilt_bound(parts)

    def best(self, *, limit: int) -> tuple[int, Bought] | None:
        """The least key within `limit`, with the smallest list of (pack, count) that has it."""
        room = limit * TILT - self.bound
        slack = min(room, 2 * self.penny * TILT)
        while slack >= 0:
            key = self._key_within(slack)
            if key is not None:
                return self.loose_least + key, self._listing(key)
            if slack == room:
                return None
            slack = min(room, slack * 2)
        return None

    def _above(self, keys: Ints, spends: Ints, least: int) -> Ints:
        """How far tilted keys are above the least of the baits they are of."""
        above: Ints = keys * TILT - spends @ self.parts - least
        return above

    def _key_within(self, slack: int) -> int | None:
        """The least key of the tied baits with its bound passed by at most `slack`."""
        lists = [self._bait_spendings(bait, slack=slack) for bait in self.tied]
        reach = np.zeros((len(lists) + 1, len(self.asked)), dtype=np.int64)
        for n in reversed(range(len(lists))):
            if not len(lists[n].keys):
                return None
            reach[n] = reach[n + 1] + lists[n].spends.max(axis=0)
        keys = np.zeros(1, dtype=np.int64)
        spends = np.zeros((1, len(self.asked)), dtype=np.int64)
        least = 0
        for n, found in enumerate(lists):
            time_check(self.deadline)
            least += self.tied[n].tilted(self.tilt).least(self.suppliers)
            if len(keys) * len(found.keys) > _STATES_MOST * 5:
                raise TooLarge
            sums = (keys[:, None] + found.keys).ravel()
            joined = np.minimum(spends[:, None, :] + found.spends, self.targets)
            joined = joined.reshape(-1, len(self.asked))
            alive = (self._above(sums, joined, least) <= slack) & (
                (joined + reach[n + 1] >= self.targets).all(axis=1)
            )
            if not alive.any():
                return None
            keys, spends = undominated(sums[alive], joined[alive])
        done = (spends >= self.targets).all(axis=1)
        return int(keys[done].min()) if done.any() else None

    def _bait_spendings(self, bait: BaitCovers, *, slack: int) -> Spendings:
        """Covers of one bait at most `slack` above its least by tilted keys."""
        time_check(self.deadline)
        lines = bait.problem.packs
        tilted = bait.tilted(self.tilt)
        limit = tilted.least(self.suppliers) + slack
        packs = bait.packs_of(self.suppliers)
        bound = any(lines[pack].least for pack in packs)
        everything = (tilted.unbound() if bound else tilted).cover(packs)
        others = bait.cover(bait.packs_of(self.suppliers & ~self.asked_mask))
        amounts = keys = np.zeros(1, dtype=np.int64)
        spends = np.zeros((1, len(self.asked)), dtype=np.int64)
        for column, asked in enumerate(self.asked):
            for pack in packs:
                if lines[pack].supplier != asked.supplier:
                    continue
                options = bait.options_all(pack)
                if len(keys) * len(options.keys) > _STATES_MOST * 5:
                    raise TooLarge
                sums = (keys[:, None] + options.keys).ravel()
                have = np.minimum(amounts[:, None] + options.amounts, bait.need).ravel()
                spent = np.repeat(spends, len(options.keys), axis=0)
                spent[:, column] += np.tile(options.keys // self.penny, len(keys))
                spent = np.minimum(spent, self.targets)
                ends = self._above(sums, spent, 0) + everything.at(bait.need - have)
                fits = ends <= limit
                keys, both = undominated(sums[fits], np.column_stack([have[fits], spent[fits]]))
                amounts, spends = both[:, 0], both[:, 1:]
        keys = keys + others.at(bait.need - amounts)
        within = (keys < NEVER) & (self._above(np.minimum(keys, KEY_MOST), spends, 0) <= limit)
        return Spendings(*undominated(keys[within], spends[within]))

    def _listing(self, key: int) -> Bought:
        """Of the tied baits' covers with exactly this key, the smallest list of packs."""
        slack = (key + self.loose_least) * TILT - self.bound
        lists = [_bait_listings(self, bait, slack=slack) for bait in self.tied]
        targets = tuple(int(t) for t in self.targets)
        reach = [[0] * len(targets)]
        for found in reversed(lists):
            most = [max(spends[c] for _, spends in found) for c in range(len(targets))]
            reach.append([a + b for a, b in zip(reach[-1], most, strict=True)])
        reach.reverse()
        parts = [int(p) for p in self.parts]
        least = 0
        states: dict[tuple[int, tuple[int, ...]], Bought] = {(0, (0,) * len(targets)): ()}
        for n, found in enumerate(lists):
            grown: dict[tuple[int, tuple[int, ...]], Bought] = {}
            least += self.tied[n].tilted(self.tilt).least(self.suppliers)
            for (have, spent), bought in states.items():
                time_check(self.deadline)
                for (more, spends), listing in found.items():
                    if have + more > key:
                        continue
                    both = tuple(
                        min(a + b, t) for a, b, t in zip(spent, spends, targets, strict=True)
                    )
                    if any(b + r < t for b, r, t in zip(both, reach[n + 1], targets, strict=True)):
                        continue
                    taken = sum(p * b for p, b in zip(parts, both, strict=True))
                    if (have + more) * TILT - taken - least > slack:
                        continue
                    place = (have + more, both)
                    joined = tuple(sorted(bought + listing))
                    if place not in grown or joined < grown[place]:
                        grown[place] = joined
            states = grown
            if len(states) > _STATES_MOST // 20:
                raise TooLarge
        won = min(b for (have, spent), b in states.items() if have == key and spent == targets)
        return tuple(sorted((*won, *self.loose_bought)))


def _bait_listings(
    covers: SpendingCovers, bait: BaitCovers, *, slack: int
) -> dict[tuple[int, tuple[int, ...]], Bought]:
    """For each key above the least (up to `slack`) and spending, the smallest list of packs."""
    lines, penny = bait.problem.packs, bait.keys.penny
    packs, tilted = bait.packs_of(covers.suppliers), bait.tilted(covers.tilt)
    limit = tilted.least(covers.suppliers) + slack
    if len(packs) > _LISTED_MOST:
        raise TooLarge
    column = {a.supplier: n for n, a in enumerate(covers.asked)}
    targets = [int(t) for t in covers.targets]
    found: dict[tuple[int, tuple[int, ...]], Bought] = {}

    def grow(n: int, need: int, key: int, spends: tuple[int, ...], bought: Bought) -> None:
        time_check(covers.deadline)
        if n == len(packs):
            if need <= 0:
                found.setdefault((key, spends), bought)
                if len(found) > _STATES_MOST // 20:
                    raise TooLarge
            return
        pack = packs[n]
        at = column.get(lines[pack].supplier)
        options = bait.options_cut(pack) if at is None else bait.options_all(pack)
        ends = (options.keys + key) * TILT
        ends += tilted.cover(packs[n + 1 :]).at(need - options.amounts)
        spent = np.tile(np.array(spends, dtype=np.int64), (len(ends), 1))
        if at is not None:
            spent[:, at] = np.minimum(targets[at], spent[:, at] + options.keys // penny)
        fits = np.flatnonzero(ends - spent @ covers.parts <= limit)
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
