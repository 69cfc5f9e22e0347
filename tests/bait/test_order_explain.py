"""Why an order is as it is: each figure worked by hand."""

from __future__ import annotations

import json
import random
from dataclasses import replace
from fractions import Fraction

import pytest

from bait.reckon.order import (
    Demand,
    OrderRequest,
    Pack,
    PriceBreak,
    Stock,
    Supplier,
    order_work_out,
)
from bait.reckon.order.again import Change, Figure, WhatIf, what_if
from bait.reckon.order.answer import BaitAmount
from bait.reckon.order.changed import without_minimum, without_pack, without_supplier
from bait.reckon.order.explain import Explanation, order_explain
from bait.reckon.order.known import figures_known
from bait.reckon.order.steps import pack_steps, step_ahead, step_reached

HUT, REEL = "hut", "reel"


def caster(shop: str, price: int, *, breaks: tuple[PriceBreak, ...] = (), **more: int) -> Pack:
    return Pack(f"{shop}-caster", shop, "caster", Fraction(1), "pint", price, breaks, **more)


def order(pints: str, *shops: Supplier, packs: tuple[Pack, ...]) -> OrderRequest:
    return OrderRequest((Demand("m1", "caster", Fraction(pints), "pint"),), shops, packs)


def explained(request: OrderRequest, **lead_days: int) -> Explanation:
    found = order_explain(request, lead_days=lead_days, units={})
    assert found.left_out == ()
    return found


def told(order: WhatIf | None) -> tuple[int | None, dict[str, tuple[int, int]]]:
    """The difference in pence, and packs before and after."""
    assert order is not None
    return order.difference, {c.pack: (c.before, c.after) for c in order.changes}


def tenth_costs(price: int) -> OrderRequest:
    """The worked example of the calculator's page: 2.5 and 7 pints, one in the larder."""
    return OrderRequest(
        (
            Demand("m1", "caster", Fraction("2.5"), "pint"),
            Demand("m2", "caster", Fraction(7), "pint"),
        ),
        (Supplier(HUT, 400, 2000, 6000),),
        (caster(HUT, 420, breaks=(PriceBreak(10, price),)),),
        (Stock("caster", Fraction(1), "pint"),),
    )


def test_a_pint_more_reaches_the_break_and_costs_twenty_pence() -> None:
    found = explained(tenth_costs(380))
    assert found.total == 4180
    (bait,) = found.baits
    assert (bait.bait, bait.unit) == ("caster", "pint")
    assert told(bait.more) == (20, {"hut-caster": (9, 10)})
    assert told(bait.less) == (-420, {"hut-caster": (9, 8)})


def test_the_next_break_is_told_with_what_its_last_pack_costs() -> None:
    (line,) = explained(tenth_costs(380)).lines
    assert line.reached is None and line.ahead is not None
    assert (line.ahead.cost, line.ahead.cost_before, line.ahead.last_costs) == (3800, 3780, 20)
    assert line.ahead.pays_from == 10  # nine at 4.20 cost less than ten at 3.80


def test_the_tenth_costs_less_than_nothing_where_the_break_saves_more() -> None:
    found = explained(tenth_costs(370))
    assert found.total == 3700 + 400
    (line,) = found.lines
    assert line.line.packs == 10 and line.reached is not None
    assert (line.reached.cost, line.reached.cost_before) == (3700, 3780)
    assert line.reached.last_costs == -80
    assert line.reached.pays_from == 9  # eight at 4.20 are 33.60, nine are 37.80
    assert line.ahead is None


def test_a_pint_more_costs_nothing_where_one_is_left_over() -> None:
    (bait,) = explained(tenth_costs(370)).baits
    assert told(bait.more) == (0, {})
    assert told(bait.less) == (3360 - 3700, {"hut-caster": (10, 8)})


def test_without_the_only_pack_what_is_missing_is_said() -> None:
    (line,) = explained(tenth_costs(380)).lines
    assert line.without is not None and line.without.difference is None
    (missing,) = line.without.missing
    assert (missing.bait, missing.amount, missing.unit) == ("caster", Fraction("8.5"), "pint")


@pytest.fixture
def minimum() -> OrderRequest:
    """Four pints: five at 4.00 to reach the Hut's 20.00, or four at 5.10 from Reel."""
    return order(
        "4",
        Supplier(HUT, minimum=2000),
        Supplier(REEL),
        packs=(caster(HUT, 400), caster(REEL, 510)),
    )


def test_what_a_minimum_costs_is_told_by_an_order_without_it(minimum: OrderRequest) -> None:
    found = explained(minimum)
    assert found.total == 2000
    (hut,) = found.shops
    assert told(hut.minimum) == (-400, {"hut-caster": (5, 4)})
    assert hut.free_delivery is None


def test_a_dropped_shop_and_a_pack_left_alone_move_to_the_other(minimum: OrderRequest) -> None:
    found = explained(minimum)
    moved = (40, {"hut-caster": (5, 0), "reel-caster": (0, 4)})
    assert told(found.shops[0].dropped) == moved
    assert told(found.lines[0].without) == moved


def test_a_pint_less_changes_the_shop(minimum: OrderRequest) -> None:
    (bait,) = explained(minimum).baits
    assert told(bait.less) == (3 * 510 - 2000, {"hut-caster": (5, 0), "reel-caster": (0, 3)})


def test_ways_stand_side_by_side(minimum: OrderRequest) -> None:
    found = explained(minimum, hut=3, reel=1)
    assert [
        (w.kind, w.supplier, w.lead_days, w.order and (w.order.total, w.order.packs))
        for w in found.alternatives
    ] == [
        ("cheapest", None, 3, (2000, 5)),
        ("only", "hut", 3, (2000, 5)),
        ("only", "reel", 1, (2040, 4)),
        ("soonest", None, 1, (2040, 4)),
    ]
    cheapest = found.alternatives[0].order
    assert cheapest is not None
    assert cheapest.left_over == (BaitAmount("caster", Fraction(1), "pint"),)


def test_the_soonest_is_the_cheapest_where_all_take_as_long(minimum: OrderRequest) -> None:
    soonest = explained(minimum, hut=2, reel=2).alternatives[-1]
    assert (soonest.kind, soonest.lead_days, told(soonest.order)) == ("soonest", 2, (0, {}))


def test_soonest_waits_for_the_shop_without_which_something_is_missing() -> None:
    hemp = Pack("hut-hemp", HUT, "hemp", Fraction(1), "pint", 150)
    request = order("2", Supplier(HUT), Supplier(REEL), packs=(caster(REEL, 400), hemp))
    request = replace(
        request, demands=(*request.demands, Demand("m2", "hemp", Fraction(3), "pint"))
    )
    ways = explained(request, hut=4, reel=1).alternatives
    assert [(w.kind, w.supplier, w.lead_days) for w in ways] == [
        ("cheapest", None, 4),
        ("only", "hut", 4),
        ("only", "reel", 1),
        ("soonest", None, 4),
    ]
    missing = [w.order.missing for w in ways if w.order is not None]
    assert [[(m.bait, int(m.amount)) for m in found] for found in missing] == [
        [],
        [("caster", 2)],
        [("hemp", 3)],
        [],
    ]


def test_free_delivery_is_worth_a_pack_more() -> None:
    shop = Supplier(HUT, fee=500, free_from=2000)
    found = explained(order("4", shop, packs=(caster(HUT, 410),)))
    assert found.total == 2050
    (hut,) = found.shops
    assert (hut.goods, hut.delivery) == (2050, 0)
    assert told(hut.free_delivery) == (4 * 410 + 500 - 2050, {"hut-caster": (5, 4)})
    assert hut.free_delivery is not None and hut.free_delivery.delivery_difference == 500


def test_a_minimum_that_keeps_the_order_away_is_told() -> None:
    request = order(
        "2",
        Supplier(HUT, minimum=2000),
        Supplier(REEL),
        packs=(caster(HUT, 400), caster(REEL, 510)),
    )
    found = explained(request)
    assert found.total == 1020
    hut, reel = found.shops[0], found.lines[0]
    assert (hut.supplier.id, hut.dropped) == (HUT, None)
    assert told(hut.minimum) == (-220, {"hut-caster": (0, 2), "reel-caster": (2, 0)})
    assert reel.line.pack == "reel-caster"


def test_a_minimum_that_keeps_a_bait_away_is_told() -> None:
    pack = caster(HUT, 400, max_packs=3)
    found = explained(order("2", Supplier(HUT, minimum=2000), packs=(pack,)))
    assert found.total == 0
    (hut,) = found.shops
    assert hut.minimum is not None and hut.minimum.difference is None
    assert [(a.bait, int(a.amount)) for a in hut.minimum.gained] == [("caster", 2)]
    (bait,) = found.baits
    assert bait.more is not None and [a.amount for a in bait.more.missing] == [1]
    assert told(bait.less) == (0, {})


def test_packs_bought_already_stay_whatever_is_asked(minimum: OrderRequest) -> None:
    packs = (caster(HUT, 400), caster(REEL, 510, bought=1))
    found = explained(replace(minimum, packs=packs))
    # One of Reel's is bought: three more there are 20.40, five of the Hut's besides it 25.10.
    assert found.total == 2040
    (line,) = found.lines
    assert line.bought == 1
    assert told(line.without) == (2510 - 2040, {"hut-caster": (0, 5), "reel-caster": (4, 1)})
    only_hut = next(w for w in found.alternatives if w.supplier == HUT)
    assert told(only_hut.order) == (470, {"hut-caster": (0, 5), "reel-caster": (4, 1)})


def test_a_line_that_is_all_bought_leaves_nothing_to_choose(minimum: OrderRequest) -> None:
    packs = (caster(HUT, 400), caster(REEL, 510, bought=4))
    (line,) = explained(replace(minimum, packs=packs)).lines
    assert (line.line.packs, line.bought, line.without) == (4, 4, None)


def test_what_the_larder_covers_costs_nothing_more_or_less() -> None:
    request = replace(
        order("2", Supplier(HUT), packs=(caster(HUT, 400),)),
        stock=(Stock("caster", Fraction(5), "pint"),),
    )
    found = explained(request)
    assert (found.total, found.lines, found.shops) == (0, (), ())
    assert [told(found.baits[0].more), told(found.baits[0].less)] == [(0, {}), (0, {})]
    assert [w.lead_days for w in found.alternatives] == [None, None, None]


def test_one_more_is_a_litre_where_people_write_millilitres() -> None:
    pack = Pack("p", HUT, "dye", Fraction(250), "ml", 300)
    request = OrderRequest((Demand("m1", "dye", Fraction(250), "ml"),), (Supplier(HUT),), (pack,))
    (bait,) = explained(request).baits
    assert (bait.unit, told(bait.more)) == ("L", (1200, {"p": (1, 5)}))


def test_one_more_is_in_the_baits_own_unit_where_the_order_speaks_in_it() -> None:
    request = order("2", Supplier(HUT), packs=(caster(HUT, 400),))
    found = order_explain(request, lead_days={}, units={"caster": "L"})
    assert found.baits[0].unit == "L"
    assert told(found.baits[0].more) == (800, {"hut-caster": (2, 4)})  # 3.76 pints
    found = order_explain(request, lead_days={}, units={"caster": "kg"})
    assert found.baits[0].unit == "pint"


def test_without_time_nothing_is_guessed(minimum: OrderRequest) -> None:
    found = order_explain(minimum, lead_days={}, units={}, time_limit_s=0)
    assert (found.total, found.alternatives, found.lines) == (None, (), ())
    assert found.left_out == (Figure("base"),)


def test_what_was_found_before_is_not_asked_again(minimum: OrderRequest) -> None:
    first = explained(minimum, hut=3, reel=1)
    raw = json.loads(json.dumps(first.as_json()))
    known = figures_known(raw, steps={"caster": "pint"})
    assert known[Figure("dropped", HUT)] == first.shops[0].dropped
    assert known[Figure("one_less", "caster")].changes == (
        Change("hut-caster", 5, 0),
        Change("reel-caster", 0, 3),
    )
    assert Figure("one_less", "caster") not in figures_known(raw, steps={"caster": "L"})
    raw["shops"][0]["dropped"]["packs"] = 99
    again = order_explain(minimum, lead_days={"hut": 3, "reel": 1}, units={}, before=raw)
    assert again.shops[0].dropped is not None and again.shops[0].dropped.packs == 99
    assert again.baits == first.baits


def test_progress_grows_to_the_end(minimum: OrderRequest) -> None:
    told: list[tuple[int, str]] = []
    order_explain(
        minimum, lead_days={}, units={}, progress=lambda percent, word: told.append((percent, word))
    )
    assert told[0] == (0, "explaining") and told[-1] == (100, "done")
    assert [percent for percent, _ in told] == sorted(percent for percent, _ in told)


def test_breaks_are_told_one_against_the_last() -> None:
    pack = caster(HUT, 500, breaks=(PriceBreak(5, 480), PriceBreak(10, 400)))
    five, ten = pack_steps(pack)
    assert (five.cost, five.cost_before, five.pays_from) == (2400, 2000, 5)
    assert (ten.cost, ten.cost_before, ten.pays_from) == (4000, 4320, 9)
    assert [step_reached(pack, packs=n) for n in (4, 5, 9, 10)] == [None, five, five, ten]
    assert [step_ahead(pack, packs=n) for n in (4, 5, 10)] == [five, ten, None]
    assert step_ahead(replace(pack, max_packs=9), packs=5) is None


@pytest.mark.parametrize("seed", range(8))
def test_covers_shared_between_questions_change_no_answer(seed: int) -> None:
    rng = random.Random(seed)
    packs = tuple(
        Pack(
            f"p{n}",
            f"s{n % 3}",
            f"b{n % 2}",
            Fraction(rng.choice([1, 2, 5])),
            "pint",
            rng.randint(100, 900),
            max_packs=rng.choice([None, None, 2]),
        )
        for n in range(10)
    )
    shops = tuple(Supplier(f"s{n}", rng.choice([0, 395]), rng.choice([0, 1500])) for n in range(3))
    demands = tuple(Demand("m1", f"b{b}", Fraction(rng.randint(2, 20), 2), "pint") for b in (0, 1))
    request = OrderRequest(demands, shops, packs, compare_alone=False)
    found = order_explain(request, lead_days={}, units={})
    base = order_work_out(request)
    assert found.left_out == () and found.lines
    for line in found.lines:
        changed = without_pack(request, pack=line.line.pack)
        assert line.without == what_if(order_work_out(changed), base=base, request=changed)
    for shop in found.shops:
        changed = without_supplier(request, supplier=shop.supplier.id)
        if shop.dropped is not None:
            assert shop.dropped == what_if(order_work_out(changed), base=base, request=changed)
        changed = without_minimum(request, supplier=shop.supplier.id)
        if shop.minimum is not None:
            assert shop.minimum == what_if(order_work_out(changed), base=base, request=changed)


@pytest.mark.parametrize("seconds", [0.02, 0.1, 30])
def test_each_figure_is_there_or_left_out(seconds: float) -> None:
    """However little time there is: nothing is missing in silence, and what is there is right."""
    packs = tuple(
        Pack(f"p{n:02}", f"s{n % 3}", f"b{n % 6}", Fraction(1 + n % 4), "pint", 150 + 37 * n % 200)
        for n in range(24)
    )
    shops = tuple(Supplier(f"s{n}", 300 + 50 * n, 500, 4000) for n in range(3))
    demands = tuple(Demand("m1", f"b{b}", Fraction(3 + b), "pint") for b in range(6))
    request = OrderRequest(demands, shops, packs)
    whole = explained(request)
    found = order_explain(request, lead_days={}, units={}, time_limit_s=seconds)
    if found.total is None:
        assert found.left_out == (Figure("base"),)
        return
    left_out = set(found.left_out)
    for bait, right in zip(found.baits, whole.baits, strict=True):
        assert bait.more == (None if Figure("one_more", bait.bait) in left_out else right.more)
        assert bait.less == (None if Figure("one_less", bait.bait) in left_out else right.less)
    for line, other in zip(found.lines, whole.lines, strict=True):
        gone = Figure("without", line.line.pack) in left_out
        assert line.without == (None if gone else other.without)
    again = order_explain(request, lead_days={}, units={}, before=found.as_json())
    assert again == whole
