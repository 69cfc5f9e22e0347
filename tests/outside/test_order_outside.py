"""The order against textbook cases, another solver, and a library of units."""

from __future__ import annotations

import random
from fractions import Fraction

import pint
import pytest

from bait.reckon.order import (
    Demand,
    OrderAnswer,
    OrderRequest,
    Pack,
    PriceBreak,
    Stock,
    Supplier,
    order_work_out,
)
from bait.reckon.order.model import Problem, counts_judge
from bait.reckon.order.prepare import Scales, member_needs, problem_prepare, team_needs
from bait.reckon.order.shares import Bill, shares_work_out
from bait.reckon.order.solve import problem_solve
from bait.reckon.units import amount_convert
from tests.cp_sat import cp_sat_solved
from tests.thorough import trials


# Source: UK Weights and Measures Act 1985, schedule 1, as kept by the `pint` library of units.
@pytest.mark.parametrize(
    ("unit", "to", "name", "to_name"),
    [
        ("pint", "L", "imperial_pint", "liter"),
        ("pint", "ml", "imperial_pint", "milliliter"),
        ("lb", "kg", "pound", "kilogram"),
        ("oz", "g", "ounce", "gram"),
        ("oz", "lb", "ounce", "pound"),
    ],
)
def test_units_have_their_legal_size(unit: str, to: str, name: str, to_name: str) -> None:
    registry = pint.UnitRegistry(non_int_type=Fraction)
    legal = registry.Quantity(Fraction(1), name).to(to_name).magnitude
    assert amount_convert(Fraction(1), unit=unit, to=to, density=None) == legal


def shop_order(want: str, packs: tuple[Pack, ...], *, unit: str = "kg") -> OrderAnswer:
    demands = (Demand("m1", "groundbait", Fraction(want), unit),)
    return order_work_out(OrderRequest(demands, (Supplier("s1"),), packs))


# Source: integer covering as in textbooks on knapsack problems; the figures were worked by hand.
@pytest.mark.parametrize(("want", "total"), [("13", 2900), ("9", 2000)])
def test_covering_with_packs_of_one_five_and_ten(want: str, total: int) -> None:
    sizes = ((1, 300), (5, 1200), (10, 2000))
    packs = tuple(
        Pack(f"k{size:02}", "s1", "groundbait", Fraction(size), "kg", price)
        for size, price in sizes
    )
    assert shop_order(want, packs).total == total


# Source: the change-making problem; coins 1, 3, 4 for 6, where greed takes three coins.
def test_equal_prices_take_the_fewest_packs_where_greed_takes_more() -> None:
    packs = tuple(
        Pack(f"c{size}", "s1", "groundbait", Fraction(size), "kg", 100 * size) for size in (1, 3, 4)
    )
    assert [(line.pack, line.packs) for line in shop_order("6", packs).lines] == [("c3", 2)]


# Source: the all-units discount of textbooks on stock (5.00 each, 4.80 from 1,000, 4.75 from
# 2,000): the goods alone, cost by count, fall at each break.
@pytest.mark.parametrize(
    ("want", "bought", "total"), [(959, 959, 479500), (961, 1000, 480000), (1980, 2000, 950000)]
)
def test_all_units_discount_is_jumped_to_where_it_pays(want: int, bought: int, total: int) -> None:
    breaks = (PriceBreak(1000, 480), PriceBreak(2000, 475))
    packs = (Pack("p", "s1", "groundbait", Fraction(1), "each", 500, breaks),)
    answer = shop_order(str(want), packs, unit="each")
    assert (answer.lines[0].packs, answer.total) == (bought, total)


# Source: single at 10, three for 24; wants of 1, 2, 3 cost 10, 20, 24 alone and 48 together,
# so nobody may pay more than alone (worked by hand, as in texts on sharing games).
def test_the_pack_game_leaves_nobody_above_alone() -> None:
    demands = tuple(Demand(f"m{n}", "groundbait", Fraction(n), "each") for n in (1, 2, 3))
    packs = (
        Pack("one", "s1", "groundbait", Fraction(1), "each", 1000),
        Pack("three", "s1", "groundbait", Fraction(3), "each", 2400),
    )
    answer = order_work_out(OrderRequest(demands, (Supplier("s1"),), packs))
    assert [(s.due, s.alone) for s in answer.shares] == [(800, 1000), (1600, 2000), (2400, 2400)]


# Source: the airport game (Littlechild & Owen 1973): costs 8, 11, 13, 18 alone and 18 together.
# Shares by need are not the Shapley value 2, 3, 4, 9, but like it nobody is above their own cost.
def test_the_airport_game_is_shared_within_everybodys_own_cost() -> None:
    costs = {"a": 800, "b": 1100, "c": 1300, "d": 1800}
    needs = {m: {"runway": Fraction(1)} for m in costs}
    shares = shares_work_out(
        [Bill("s1", "runway", 1800)], delivery={}, needs=needs, alone=dict(costs)
    )
    assert sum(s.due for s in shares) == 1800
    assert all(s.due <= costs[s.member] for s in shares)


# Source: largest remainder on 12.35 by 1.50, 2.00, 3.25 → 2.74, 3.66, 5.95 (worked by hand).
def test_a_bill_is_split_to_the_penny_by_largest_remainder() -> None:
    needs = {m: {"hemp": Fraction(want)} for m, want in (("a", "1.5"), ("b", "2"), ("c", "3.25"))}
    shares = shares_work_out([Bill("s1", "hemp", 1235)], delivery={}, needs=needs, alone={})
    assert [s.due for s in shares] == [274, 366, 595]


def made_up(seed: int) -> OrderRequest:
    rng = random.Random(seed)
    shops, baits = rng.randint(1, 4), rng.randint(1, 5)
    suppliers = tuple(
        Supplier(
            f"s{n}",
            fee=rng.choice([0, 195, 350, 495]),
            minimum=rng.choice([0, 0, 700, 1500, 2500]),
            free_from=rng.choice([None, 1200, 3000]),
        )
        for n in range(shops)
    )
    packs = []
    for n in range(rng.randint(baits, 14)):
        amount = rng.choice([1, 2, 2, 4, 5, 10])
        price = round(rng.randint(130, 240) * amount * rng.uniform(0.8, 1.1))
        breaks: list[PriceBreak] = []
        if rng.random() < 0.5:
            breaks.append(PriceBreak(rng.randint(2, 6), price * rng.randint(75, 97) // 100))
        if breaks and rng.random() < 0.4:
            breaks.append(PriceBreak(breaks[0].from_packs * 2, breaks[0].price * 9 // 10))
        unit = "pint" if rng.random() < 0.85 else "L"
        most = rng.choice([None, None, None, 2, 6])
        bait, shop = f"b{rng.randrange(baits)}", f"s{rng.randrange(shops)}"
        size = Fraction(amount, 2)
        packs.append(Pack(f"p{n:02}", shop, bait, size, unit, price, tuple(breaks), most))
    demands = tuple(
        Demand(f"m{m}", f"b{b}", Fraction(rng.randint(0, 10), 4), "pint")
        for m in range(3)
        for b in range(baits)
    )
    stock = (Stock("b0", Fraction(1), "pint", rng.choice([None, "m1"])),)
    return OrderRequest(demands, suppliers, tuple(packs), stock)


def problem_of(request: OrderRequest) -> Problem:
    scales = Scales(request)
    needs = team_needs(member_needs(request, scales=scales), request=request, scales=scales)
    return problem_prepare(request, needs=needs, scales=scales).problem


def cp_sat_total(problem: Problem) -> int | None:
    solved = cp_sat_solved(problem, seconds=30)
    assert solved.proved
    return solved.total


@pytest.mark.parametrize("decade", range(trials(8, in_full=22)))
def test_totals_are_those_of_another_solver(decade: int) -> None:
    for seed in range(10 * decade, 10 * decade + 10):
        problem = problem_of(made_up(seed))
        solved = problem_solve(problem, seconds=60)
        verdict = counts_judge(problem, solved.counts) if solved.counts is not None else None
        assert (verdict.total if verdict else None) == cp_sat_total(problem), seed
        assert solved.settled or not solved.feasible
