"""What makes least totals quick changes none of them: shared covers, and bounds of many ways."""

from __future__ import annotations

from fractions import Fraction
from itertools import product
from time import monotonic

import numpy as np
from hypothesis import given, settings
from hypothesis import strategies as st

from bait.reckon.order import Demand, OrderRequest, Pack, PriceBreak, Supplier
from bait.reckon.order.baits import BaitCovers, Keys
from bait.reckon.order.choices import Choices
from bait.reckon.order.model import Problem
from bait.reckon.order.prepare import Scales, member_needs, problem_prepare
from bait.reckon.order.screen import Screen
from bait.reckon.order.search import OrderSearch
from bait.reckon.order.shelf import Shelf
from bait.reckon.order.totals import TotalSearch, total_find
from tests.thorough import trials

BAITS = ("b0", "b1", "b2")
#: Members who need about as much of the same baits, so that their covers are shared.
MEMBERS = ("m0", "m1", "m2", "m3")


@st.composite
def price_lists(draw: st.DrawFn) -> tuple[tuple[Supplier, ...], tuple[Pack, ...]]:
    shops = tuple(
        Supplier(
            f"s{n}",
            fee=draw(st.sampled_from([0, 100, 250])),
            minimum=draw(st.sampled_from([0, 0, 300, 800])),
            free_from=draw(st.sampled_from([None, 500, 1200])),
        )
        for n in range(draw(st.integers(2, 3)))
    )
    packs = []
    for n in range(draw(st.integers(3, 7))):
        price = draw(st.integers(4, 20)) * 10  # few prices: many ties
        breaks = draw(st.sampled_from([(), (PriceBreak(2, price * 9 // 10),)]))
        most = draw(st.sampled_from([None, None, 1, 3]))
        shop, size = f"s{draw(st.integers(0, len(shops) - 1))}", Fraction(draw(st.integers(1, 3)))
        bait = draw(st.sampled_from(BAITS))
        packs.append(Pack(f"p{n}", shop, bait, size, "pint", price, breaks, most))
    return shops, tuple(packs)


@st.composite
def requests(draw: st.DrawFn) -> OrderRequest:
    shops, packs = draw(price_lists())
    demands = tuple(
        Demand(member, bait, Fraction(draw(st.integers(0, 5))), "pint")
        for member in MEMBERS
        for bait in BAITS
    )
    return OrderRequest(demands, shops, packs)


def problems_of(request: OrderRequest) -> tuple[list[Problem], Problem]:
    """Each member's problem, and that of the most that anybody needs."""
    scales = Scales(request)
    needs = member_needs(request, scales=scales)
    most = {bait: max(mine[bait] for mine in needs.values()) for bait in BAITS}
    found = [problem_prepare(request, needs=mine, scales=scales).problem for mine in needs.values()]
    return found, problem_prepare(request, needs=most, scales=scales).problem


def searched(problem: Problem) -> int | None:
    """The least total by the general search."""
    solved = OrderSearch(problem, deadline=monotonic() + 60).run()
    return solved.bound if solved.feasible else None


@settings(max_examples=trials(50, in_full=150), deadline=None)
@given(requests())
def test_members_who_share_covers_have_the_totals_of_the_general_search(
    request: OrderRequest,
) -> None:
    problems, most = problems_of(request)
    shelf = Shelf(most)
    for problem in (*problems, *reversed(problems)):
        found = total_find(problem, deadline=monotonic() + 60, shelf=shelf)
        assert found == searched(problem)


def goods_below(search: TotalSearch, choices: Choices, *, way: int, limit: int) -> int | None:
    """By trying every join of covers: the least goods of one way for a total below `limit`."""
    ways = search.ways
    usable = (choices.sets & ~ways.sets[way]) == 0
    rows = [np.flatnonzero(usable & (choices.baits == b)) for b in range(len(search.baits))]
    asks, best = ways.asks(np.array([way]))[0], None
    for join in product(*rows):
        chosen = list(join)
        goods = int(choices.pence[chosen].sum())
        enough = (choices.spends[chosen].sum(axis=0) >= asks).all()
        if enough and goods + int(ways.fees[way]) < limit and (best is None or goods < best):
            best = goods
    return best


@settings(max_examples=trials(40, in_full=120), deadline=None)
@given(requests(), st.sampled_from([2, 5, 25]), st.booleans())
def test_no_way_comes_below_the_bound_it_is_screened_with(
    request: OrderRequest, part: int, hinted: bool
) -> None:
    problem = problems_of(request)[0][0]
    if not problem.needs:
        return
    search = TotalSearch(problem, deadline=monotonic() + 60)
    ways = search.ways
    limit = int(ways.bound.min()) + int(ways.bound.min()) // part + 1
    some, choices = search.alive(limit)
    if np.prod(np.bincount(choices.baits).astype(float)) > 400:
        return
    least = ways.least[:, ways.sets[some]]
    screen = Screen(
        choices,
        sets=ways.sets[some],
        fees=ways.fees[some],
        asks=ways.asks(some),
        most=least + (limit - 1 - ways.fees[some] - least.sum(axis=0)),
        limit=limit,
    )
    screen.raise_all(np.full(len(ways.sellers), 300.0 if hinted else 0.0))
    goods = [goods_below(search, choices, way=int(way), limit=limit) for way in some]
    totals = [g + int(ways.fees[w]) for g, w in zip(goods, some, strict=True) if g is not None]
    for bound, least_goods in zip(screen.bounds.tolist(), goods, strict=True):
        assert least_goods is None or bound <= least_goods
    # What is met on the way is an order of that total: nothing is below the least of them.
    assert screen.best == limit or min(totals) <= screen.best


@settings(max_examples=trials(50, in_full=150), deadline=None)
@given(price_lists(), st.integers(0, 9), st.integers(0, 2))
def test_the_table_of_all_sets_of_sellers_has_each_set_s_own_least_covers(
    listed: tuple[tuple[Supplier, ...], tuple[Pack, ...]], need: int, bought: int
) -> None:
    shops, packs = listed
    bait = packs[0].bait
    packs = (
        Pack(
            packs[0].id,
            packs[0].supplier,
            bait,
            packs[0].amount,
            "pint",
            packs[0].price,
            bought=bought,
        ),
        *packs[1:],
    )
    request = OrderRequest((Demand("m0", bait, Fraction(need), "pint"),), shops, packs)
    scales = Scales(request)
    problem = problem_prepare(request, needs={bait: Fraction(need)}, scales=scales).problem
    for b in range(len(problem.needs)):
        covers = BaitCovers(problem, bait=b, keys=Keys(problem))
        sellers = tuple(s for s in range(len(shops)) if covers.mask >> s & 1)
        table = covers.table(sellers)
        assert table is not None
        assert table[:, problem.needs[b]].tolist() == covers.leasts(sellers).tolist()
