"""The order worked out: covered, compared with everybody alone, and shared."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace
from fractions import Fraction
from time import monotonic
from typing import Final

from ..units import amount_finite
from .answer import BaitAmount, OrderAnswer, OrderLine
from .cover import OutOfTime, TooLarge
from .filled import filled
from .milp import Solved
from .model import Counts, delivery_by_supplier, goods_by_supplier
from .prepare import (
    NO_PACK,
    Missing,
    Needs,
    Prepared,
    Scales,
    member_needs,
    problem_prepare,
    team_needs,
)
from .request import OrderRequest
from .shares import Bill, Share, shares_work_out
from .shelf import Shelf
from .solve import problem_solve
from .totals import total_find

Progress = Callable[[int, str], None]

#: Less than a worker may take, so that one worker finishes what it began.
SECONDS: Final = 20.0


@dataclass(frozen=True, slots=True)
class Covered:
    """A problem with its answer; `counts` has one number for each of its packs."""

    prepared: Prepared
    solved: Solved
    counts: Counts

    @property
    def goods(self) -> dict[int, int]:
        return goods_by_supplier(self.prepared.problem, self.counts)

    @property
    def delivery(self) -> dict[int, int]:
        return delivery_by_supplier(self.prepared.problem, self.goods)

    @property
    def total(self) -> int:
        return sum(self.goods.values()) + sum(self.delivery.values())


def order_work_out(
    request: OrderRequest,
    *,
    time_limit_s: float = SECONDS,
    progress: Callable[[int, str], None] | None = None,
    shelf: Shelf | None = None,
) -> OrderAnswer:
    """The order of least total that covers every demand, and each member's share of it.

    Ties: fewest suppliers, then fewest packs, then the smallest list of (pack id, count).
    `time_limit_s` bounds the whole work in seconds, the comparison with everybody alone within
    it; `progress` is called with percent done and what is being done. `request` comes from
    `order_parse`, or is built to the same rules. `shelf`: covers to be shared with other orders
    from the same packs.
    """
    say = progress or (lambda percent, word: None)
    say(0, "reading")
    deadline = monotonic() + time_limit_s
    scales = Scales(request)
    needs = member_needs(request, scales=scales)
    say(5, "ordering")
    team = team_needs(needs, request=request, scales=scales)
    covered = needs_cover(team, request=request, scales=scales, deadline=deadline, shelf=shelf)
    alone: dict[str, int | None] = dict.fromkeys(needs)
    settled = covered.solved.settled
    if request.compare_alone:
        alone, proved = _alone_work_out(
            needs, request=request, scales=scales, deadline=deadline, say=say
        )
        settled = settled and proved
    say(95, "sharing")
    answer = _answer(covered, scales=scales, needs=needs, alone=alone, settled=settled)
    say(100, "done")
    return answer


def needs_cover(
    needs: Mapping[str, Fraction],
    *,
    request: OrderRequest,
    scales: Scales,
    deadline: float,
    shelf: Shelf | None = None,
) -> Covered:
    """The preferred order for `needs` (bait to amount in its base unit).

    Where a supplier's minimum and the most that may be bought exclude each other, such suppliers
    are left out one by one, first id first, until the rest can be ordered.
    """
    without: list[str] = []
    proved = True
    while True:
        prepared = problem_prepare(request, needs=needs, scales=scales, without=without)
        seconds = max(0.2, deadline - monotonic())
        solved = problem_solve(prepared.problem, seconds=seconds, shelf=shelf)
        counts = solved.counts
        if counts is not None:
            solved = replace(solved, settled=solved.settled and proved)
            return Covered(prepared, solved, counts)
        used = {pack.supplier for pack in prepared.packs}
        strict = [
            s.id for s in prepared.suppliers if s.minimum and s.id in used and s.id not in without
        ]
        if not strict:  # no time to find one: any order is better than none
            counts = filled(prepared.problem)
            return Covered(prepared, Solved(counts, solved.bound, settled=False), counts)
        proved = proved and not solved.feasible
        without += strict if solved.feasible else strict[:1]


def _alone_work_out(
    needs: Needs, *, request: OrderRequest, scales: Scales, deadline: float, say: Progress
) -> tuple[dict[str, int | None], bool]:
    """Each member's least cost on their own, and whether every one is proved.

    None where a member on their own could not get what is sold (a minimum, or `max_packs`), or
    where time ran out: there is nothing to compare with. What the team bought already is not
    theirs: alone they would have bought for themselves.
    """
    request = replace(request, packs=tuple(replace(p, bought=0) for p in request.packs))
    alone: dict[str, int | None] = {}
    proved = True
    shelf = Shelf(problem_prepare(request, needs=_most_needed(needs), scales=scales).problem)
    for n, member in enumerate(sorted(needs)):
        say(50 + 45 * n // len(needs), "comparing")
        if monotonic() > deadline:
            alone[member], proved = None, False
            continue
        alone[member], kept = _cost_alone(
            needs[member], request=request, scales=scales, deadline=deadline, shelf=shelf
        )
        proved = proved and kept
    return alone, proved


def _most_needed(needs: Needs) -> dict[str, Fraction]:
    """Of each bait, the most that one member needs."""
    most: dict[str, Fraction] = {}
    for mine in needs.values():
        for bait, amount in mine.items():
            most[bait] = max(amount, most.get(bait, amount))
    return most


def _cost_alone(
    needs: Mapping[str, Fraction],
    *,
    request: OrderRequest,
    scales: Scales,
    deadline: float,
    shelf: Shelf,
) -> tuple[int | None, bool]:
    """The least cost of `needs`, and whether it is proved (also that it cannot all be had)."""
    prepared = problem_prepare(request, needs=needs, scales=scales)
    if any(missing.why != NO_PACK for missing in prepared.missing):
        return None, True
    try:
        total = total_find(prepared.problem, deadline=deadline, shelf=shelf)
    except OutOfTime:
        return None, False
    except TooLarge:
        total = None
    if total is not None:
        return total, True
    covered = needs_cover(needs, request=request, scales=scales, deadline=deadline)
    kept = covered.solved.bound == covered.total
    lacking = any(missing.why != NO_PACK for missing in covered.prepared.missing)
    return covered.total if kept and not lacking else None, kept


def _answer(
    covered: Covered,
    *,
    scales: Scales,
    needs: Needs,
    alone: Mapping[str, int | None],
    settled: bool,
) -> OrderAnswer:
    prepared, goods = covered.prepared, covered.goods
    bought = [
        OrderLine(pack.id, pack.supplier, pack.bait, count, line.unit_price(count))
        for pack, line, count in zip(
            prepared.packs, prepared.problem.packs, covered.counts, strict=True
        )
        if count
    ]
    fees = {prepared.suppliers[s].id: pence for s, pence in covered.delivery.items()}
    bills = [Bill(line.supplier, line.bait, line.cost) for line in bought]
    shares: tuple[Share, ...] = shares_work_out(bills, delivery=fees, needs=needs, alone=alone)
    return OrderAnswer(
        goods=sum(goods.values()),
        delivery=sum(fees.values()),
        lines=tuple(bought),
        left_over=_left_over(covered, scales=scales),
        short=tuple(_in_words(m, scales=scales) for m in prepared.missing),
        shares=shares,
        lower_bound=covered.solved.bound,
        settled=settled,
    )


def _left_over(covered: Covered, *, scales: Scales) -> tuple[BaitAmount, ...]:
    prepared = covered.prepared
    left = {bait: -prepared.needs[bait] for bait in prepared.baits}
    for pack, count in zip(prepared.packs, covered.counts, strict=True):
        left[pack.bait] += count * scales.in_base(pack)
    return tuple(
        _in_words(Missing(bait, amount, ""), scales=scales)
        for bait, amount in left.items()
        if amount > 0
    )


def _in_words(missing: Missing, *, scales: Scales) -> BaitAmount:
    """An amount in the unit the bait is asked for in, where that is one and exact."""
    bait = missing.bait
    asked = sorted(scales.demand_units.get(bait, ()))
    sold = sorted(scales.pack_units.get(bait, ()))
    for unit in (*asked[: len(asked) == 1], *sold[: len(sold) == 1]):
        amount = scales.out_of_base(missing.amount, bait=bait, unit=unit)
        if amount_finite(amount):
            return BaitAmount(bait, amount, unit, missing.why or None)
    return BaitAmount(bait, missing.amount, scales.base[bait], missing.why or None)
