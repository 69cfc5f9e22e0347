"""An order's reasons against textbook cases and another solver."""

from __future__ import annotations

import random
from dataclasses import replace
from fractions import Fraction

import pytest

from bait.reckon.order import Demand, OrderRequest, Pack, PriceBreak, Supplier
from bait.reckon.order.again import WhatIf
from bait.reckon.order.changed import (
    one_less,
    one_more,
    without_free_delivery,
    without_minimum,
    without_pack,
    without_supplier,
)
from bait.reckon.order.explain import Explanation, order_explain
from bait.reckon.order.milp import least_total
from bait.reckon.order.model import counts_judge
from bait.reckon.order.prepare import Scales, member_needs, problem_prepare, team_needs
from bait.reckon.order.steps import pack_steps, step_reached


def groundbait(want: str, packs: tuple[Pack, ...], *, unit: str = "kg") -> Explanation:
    demands = (Demand("m1", "groundbait", Fraction(want), unit),)
    request = OrderRequest(demands, (Supplier("s1"),), packs)
    return order_explain(request, lead_days={}, units={})


def sacks() -> tuple[Pack, ...]:
    return tuple(
        Pack(f"k{size:02}", "s1", "groundbait", Fraction(size), "kg", price)
        for size, price in ((1, 300), (5, 1200), (10, 2000))
    )


def told(order: WhatIf | None) -> tuple[int | None, dict[str, tuple[int, int]]]:
    assert order is not None
    return order.difference, {c.pack: (c.before, c.after) for c in order.changes}


# Source: integer covering as in textbooks on knapsack problems (sacks of 1, 5 and 10 at 3.00,
# 12.00 and 20.00): 9 are covered by one of 10 at 20.00, the exact cover of 5 and four 1 costs
# 24.00 (as do two of 5, which are fewer sacks); 13 cost 29.00.
def test_the_larger_sack_is_told_to_be_four_cheaper_than_the_exact_cover() -> None:
    found = groundbait("9", sacks())
    assert found.total == 2000
    assert told(found.lines[0].without) == (400, {"k05": (0, 2), "k10": (1, 0)})
    assert told(found.baits[0].more) == (0, {})  # the tenth is in the sack
    assert told(found.baits[0].less) == (0, {})  # eight exactly are 21.00


def test_a_kilo_more_and_less_of_thirteen() -> None:
    found = groundbait("13", sacks())
    assert found.total == 2900
    assert told(found.baits[0].more) == (300, {"k01": (3, 0), "k05": (0, 1)})
    assert told(found.baits[0].less) == (-300, {"k01": (3, 2)})
    assert {line.line.pack: told(line.without) for line in found.lines} == {
        "k01": (300, {"k01": (3, 0), "k05": (0, 1)}),
        "k10": (400, {"k05": (0, 2), "k10": (1, 0)}),
    }


DISCOUNT = Pack(
    "p",
    "s1",
    "groundbait",
    Fraction(1),
    "each",
    500,
    (PriceBreak(1000, 480), PriceBreak(2000, 475)),
)


# Source: the all-units discount of textbooks on stock: 5,000 a year, 49 an order, 20 % a year to
# hold, 5.00 each, 4.80 from 1,000, 4.75 from 2,000: order 1,000 at a time, 24,725 a year.
def test_the_textbooks_yearly_cost_follows_from_the_price_at_each_count() -> None:
    def year(count: int) -> Fraction:
        reached = step_reached(DISCOUNT, packs=count)
        each = Fraction(DISCOUNT.price if reached is None else reached.price, 100)
        return 5000 * each + Fraction(49 * 5000, count) + each * count / 10

    assert year(1000) == 24725
    assert min(range(1, 5001), key=year) == 1000


# Worked by hand from the same prices: 961 at 5.00 are 4,805.00, a thousand at 4.80 are 4,800.00.
def test_a_discount_is_told_to_pay_before_it_is_reached() -> None:
    thousand, two_thousand = pack_steps(DISCOUNT)
    assert (thousand.pays_from, thousand.last_costs) == (961, 480_000 - 999 * 500)
    assert (two_thousand.pays_from, two_thousand.last_costs) == (1980, 950_000 - 1999 * 480)
    found = groundbait("961", (DISCOUNT,), unit="each")
    assert found.total == 480_000
    assert told(found.baits[0].more) == (0, {})
    assert told(found.baits[0].less) == (0, {"p": (1000, 960)})  # 4,800.00 either way
    assert found.lines[0].reached == thousand


def small_order(seed: int) -> OrderRequest:
    rng = random.Random(seed)
    packs = []
    for n in range(9):
        price = rng.randint(150, 600)
        breaks = (PriceBreak(rng.randint(2, 6), price * 9 // 10),) if rng.random() < 0.5 else ()
        size = rng.choice([1, 2, 5])
        packs.append(
            Pack(
                f"p{n}",
                f"s{n % 3}",
                f"b{n if n < 3 else rng.randrange(3)}",
                Fraction(size),
                "pint",
                price * size,
                breaks,
            )
        )
    shops = tuple(
        Supplier(f"s{n}", rng.choice([0, 395]), rng.choice([0, 1500]), rng.choice([None, 4000]))
        for n in range(3)
    )
    demands = tuple(
        Demand(f"m{m}", f"b{b}", Fraction(rng.randint(1, 12), 2), "pint")
        for m in range(2)
        for b in range(3)
    )
    return OrderRequest(demands, shops, tuple(packs))


def programme_total(request: OrderRequest) -> int | None:
    """The least total by mixed-integer programming; None where something cannot be had."""
    scales = Scales(request)
    needs = team_needs(member_needs(request, scales=scales), request=request, scales=scales)
    prepared = problem_prepare(request, needs=needs, scales=scales)
    solved = least_total(prepared.problem, seconds=20)
    verdict = None if solved.counts is None else counts_judge(prepared.problem, solved.counts)
    return None if verdict is None or prepared.missing else verdict.total


@pytest.mark.parametrize("seed", range(6))
def test_another_solver_finds_the_same_figures(seed: int) -> None:
    request = replace(small_order(seed), compare_alone=False)
    found = order_explain(request, lead_days={}, units={})
    assert found.left_out == ()
    asked: list[tuple[WhatIf | None, OrderRequest]] = []
    for bait in found.baits:
        asked.append((bait.more, one_more(request, bait=bait.bait, unit="pint")))
        asked.append((bait.less, one_less(request, bait=bait.bait, unit="pint")))
    for line in found.lines:
        asked.append((line.without, without_pack(request, pack=line.line.pack)))
    for shop in found.shops:
        name = shop.supplier.id
        asked.append((shop.dropped, without_supplier(request, supplier=name)))
        asked.append((shop.minimum, without_minimum(request, supplier=name)))
        asked.append((shop.free_delivery, without_free_delivery(request, supplier=name)))
    compared = 0
    for answer, changed in asked:
        if answer is not None and not answer.missing and found.lines:
            total = programme_total(changed)
            if total is not None:
                assert answer.total == total
                compared += 1
    assert compared >= 6
