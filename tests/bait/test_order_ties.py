"""Ties settled from the ways to buy, against the search that settles them branch by branch."""

from __future__ import annotations

import random
from dataclasses import replace
from fractions import Fraction
from time import monotonic

from bait.reckon.order import Demand, OrderRequest, Pack, PriceBreak, Supplier
from bait.reckon.order.model import Problem, counts_judge
from bait.reckon.order.prepare import Scales, member_needs, problem_prepare, team_needs
from bait.reckon.order.search import OrderSearch
from bait.reckon.order.ties import order_find
from tests.thorough import trials


def middling_problem(seed: int) -> Problem:
    """Up to 7 baits, 28 packs and 5 shops, with prices so round that totals often tie."""
    rng = random.Random(seed)
    baits, shops = rng.randint(1, 7), rng.randint(1, 5)
    demands = tuple(
        Demand(f"m{m}", f"b{b}", Fraction(rng.randint(1, 9), 4), "pint")
        for m in range(rng.randint(1, 4))
        for b in range(baits)
        if rng.random() < 0.6 or b == 0
    )
    suppliers = tuple(
        Supplier(
            f"s{s}",
            fee=rng.choice([0, 150, 400]),
            minimum=rng.choice([0, 0, 800, 1500]),
            free_from=rng.choice([None, 0, 1200, 2500]),
        )
        for s in range(shops)
    )
    packs = tuple(_pack(rng, n, baits=baits, shops=shops) for n in range(rng.randint(3, 28)))
    request = OrderRequest(demands, suppliers, packs, ())
    scales = Scales(request)
    needs = team_needs(member_needs(request, scales=scales), request=request, scales=scales)
    return problem_prepare(request, needs=needs, scales=scales).problem


def _pack(rng: random.Random, n: int, *, baits: int, shops: int) -> Pack:
    amount = rng.choice([1, 2, 2, 4, 8])
    price = amount * rng.choice([100, 150, 150, 200]) - rng.choice([0, 0, 50])
    pack = Pack(
        f"p{n:02}", f"s{rng.randrange(shops)}", f"b{n % baits}", Fraction(amount, 2), "pint", price
    )
    if rng.random() < 0.3:
        pack = replace(pack, breaks=(PriceBreak(rng.randint(2, 4), price - 50),))
    return replace(pack, max_packs=rng.randint(1, 9)) if rng.random() < 0.15 else pack


def test_both_ways_of_settling_ties_prefer_the_same_order() -> None:
    compared = 0
    for seed in range(trials(50, in_full=120)):
        problem = middling_problem(seed)
        found = order_find(problem, deadline=monotonic() + 60)
        searched = OrderSearch(problem, deadline=monotonic() + 60).run()
        assert (found.counts, found.feasible) == (searched.counts, searched.feasible), seed
        if found.counts is not None:
            verdict = counts_judge(problem, found.counts)
            assert verdict is not None and verdict.total == found.bound == searched.bound, seed
            compared += found.settled and searched.settled
    assert compared > trials(33, in_full=80)
