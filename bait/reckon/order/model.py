"""The order as a problem in whole numbers, and the exact judge of any answer to it."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class PackLine:
    """A pack that may be bought: `amount` on the bait's whole-number grid, `most` packs.

    `tiers` are (from this many packs, pence each), ascending, the first from one pack. `least`
    packs are on every answer, as they are bought already.
    """

    id: str
    supplier: int
    bait: int
    amount: int
    tiers: tuple[tuple[int, int], ...]
    most: int
    least: int = 0

    def unit_price(self, count: int) -> int:
        """Pence for each pack when `count` are bought."""
        return next(price for start, price in reversed(self.tiers) if start <= max(count, 1))

    def cost(self, count: int) -> int:
        """Pence for `count` packs."""
        return count * self.unit_price(count)


@dataclass(frozen=True, slots=True)
class Terms:
    """A supplier's terms in pence; `free_from` None: the fee is never waived."""

    fee: int
    minimum: int
    free_from: int | None

    def delivery(self, goods: int) -> int:
        """The fee on this much goods, once anything is bought."""
        return 0 if self.free_from is not None and goods >= self.free_from else self.fee


@dataclass(frozen=True, slots=True)
class Problem:
    """Cover `needs` (one per bait, on its grid) from `packs`, which stand sorted by id."""

    needs: tuple[int, ...]
    packs: tuple[PackLine, ...]
    terms: tuple[Terms, ...]

    @property
    def bound_to(self) -> int:
        """The suppliers (bits) with whom every answer buys, as something is bought already."""
        return sum(1 << s for s in {line.supplier for line in self.packs if line.least})


Counts = tuple[int, ...]


@dataclass(frozen=True, slots=True, order=True)
class Verdict:
    """An answer judged: the smaller the better, in the order in which answers are preferred.

    `listing` holds (place of the pack in id order, count) for each pack bought.
    """

    total: int
    suppliers: int
    packs: int
    listing: tuple[tuple[int, int], ...]


def goods_by_supplier(problem: Problem, counts: Sequence[int]) -> dict[int, int]:
    """Pence of goods from each supplier bought from."""
    goods: dict[int, int] = {}
    for line, count in zip(problem.packs, counts, strict=True):
        if count:
            goods[line.supplier] = goods.get(line.supplier, 0) + line.cost(count)
    return goods


def delivery_by_supplier(problem: Problem, goods: Mapping[int, int]) -> dict[int, int]:
    """Pence of delivery from each supplier bought from."""
    return {s: problem.terms[s].delivery(pence) for s, pence in goods.items()}


def counts_judge(problem: Problem, counts: Sequence[int]) -> Verdict | None:
    """The verdict on `counts`, in whole numbers alone; None when they break a rule.

    Every need is covered, no line is below its least or above its most, every supplier used has
    its minimum.
    """
    covered = [0] * len(problem.needs)
    for line, count in zip(problem.packs, counts, strict=True):
        if not line.least <= count <= line.most:
            return None
        covered[line.bait] += count * line.amount
    if any(have < need for have, need in zip(covered, problem.needs, strict=True)):
        return None
    goods = goods_by_supplier(problem, counts)
    if any(pence < problem.terms[s].minimum for s, pence in goods.items()):
        return None
    total = sum(goods.values()) + sum(delivery_by_supplier(problem, goods).values())
    listing = tuple((n, count) for n, count in enumerate(counts) if count)
    return Verdict(total, len(goods), sum(counts), listing)
