"""Laws that hold for every order, on orders made up at random."""

from __future__ import annotations

import random
from dataclasses import replace
from fractions import Fraction
from itertools import product
from time import monotonic

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

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
from bait.reckon.order.cover import OutOfTime
from bait.reckon.order.model import Problem, Verdict, counts_judge
from bait.reckon.order.prepare import Scales, member_needs, problem_prepare, team_needs
from bait.reckon.order.search import OrderSearch
from bait.reckon.order.totals import total_find
from tests.programme import programme_solve
from tests.thorough import trials

BAITS = ("caster", "hemp", "maggot")
MEMBERS = ("m0", "m1", "m2")
pence = st.integers(50, 900)


@st.composite
def suppliers(draw: st.DrawFn) -> tuple[Supplier, ...]:
    return tuple(
        Supplier(
            f"s{n}",
            fee=draw(st.sampled_from([0, 0, 150, 400])),
            minimum=draw(st.sampled_from([0, 0, 500, 1500])),
            free_from=draw(st.sampled_from([None, None, 800, 2500])),
        )
        for n in range(draw(st.integers(1, 3)))
    )


@st.composite
def packs(draw: st.DrawFn, *, shops: int) -> tuple[Pack, ...]:
    lines = []
    for n in range(draw(st.integers(1, 7))):
        price = draw(pence)
        breaks: tuple[PriceBreak, ...] = ()
        if draw(st.booleans()):
            breaks = (
                PriceBreak(draw(st.integers(2, 5)), price * draw(st.integers(60, 99)) // 100),
            )
        lines.append(
            Pack(
                f"p{n}",
                supplier=f"s{draw(st.integers(0, shops - 1))}",
                bait=draw(st.sampled_from(BAITS)),
                amount=draw(st.sampled_from([Fraction(1, 2), Fraction(1), Fraction(5, 2)])),
                unit=draw(st.sampled_from(["pint", "pint", "L"])),
                price=price,
                breaks=breaks,
                max_packs=draw(st.sampled_from([None, None, None, 1, 4])),
            )
        )
    return tuple(lines)


@st.composite
def orders(draw: st.DrawFn) -> OrderRequest:
    shops = draw(suppliers())
    amounts = st.integers(0, 12).map(lambda quarters: Fraction(quarters, 4))
    demands = tuple(
        Demand(member, bait, draw(amounts), "pint") for member in MEMBERS for bait in BAITS[:2]
    )
    stock = tuple(
        Stock(draw(st.sampled_from(BAITS)), draw(amounts) / 2, "pint", member)
        for member in (None, "m0")
    )
    return OrderRequest(demands, shops, draw(packs(shops=len(shops))), stock)


def lacking(answer: OrderAnswer) -> set[str]:
    return {missing.bait for missing in answer.short}


@settings(max_examples=trials(40, in_full=120))
@given(orders())
def test_an_order_covers_adds_up_and_is_shared_to_the_penny(request: OrderRequest) -> None:
    answer = order_work_out(request)
    scales = Scales(request)
    needs = member_needs(request, scales=scales)
    team = team_needs(needs, request=request, scales=scales)
    by_id = {pack.id: pack for pack in request.packs}
    have = dict.fromkeys(team, Fraction(0))
    for line in answer.lines:
        have[line.bait] += line.packs * scales.in_base(by_id[line.pack])
    assert all(have[b] >= team[b] for b in team if b not in lacking(answer))
    assert answer.goods == sum(line.cost for line in answer.lines)
    assert sum(share.due for share in answer.shares) == answer.total
    assert answer.lower_bound == answer.total
    assert answer.status == ("short" if answer.short else "optimal")


@settings(max_examples=trials(40, in_full=120))
@given(orders())
def test_nobody_pays_more_than_alone_where_the_sum_allows_it(request: OrderRequest) -> None:
    answer = order_work_out(request)
    alone = [share.alone for share in answer.shares if share.alone is not None]
    if len(alone) == len(answer.shares) and sum(alone) >= answer.total:
        assert all((share.saving or 0) >= 0 for share in answer.shares)


@settings(max_examples=trials(20, in_full=60))
@given(orders(), st.integers(0, 6), st.integers(50, 99))
def test_a_cheaper_pack_without_terms_never_makes_the_order_dearer(
    request: OrderRequest, at: int, percent: int
) -> None:
    # With a minimum or free delivery a lower price can cost more: less is spent towards it.
    request = replace(
        request, suppliers=tuple(Supplier(s.id, fee=s.fee) for s in request.suppliers)
    )
    before = order_work_out(replace(request, compare_alone=False))
    lines = list(request.packs)
    line = lines[at % len(lines)]
    breaks = tuple(PriceBreak(b.from_packs, b.price * percent // 100) for b in line.breaks)
    lines[at % len(lines)] = replace(line, price=line.price * percent // 100, breaks=breaks)
    after = order_work_out(replace(request, packs=tuple(lines), compare_alone=False))
    assert after.total <= before.total


@settings(max_examples=trials(20, in_full=60))
@given(orders(), st.randoms(use_true_random=False))
def test_the_order_of_lists_changes_nothing(request: OrderRequest, rng: random.Random) -> None:
    def mixed(items: tuple[object, ...]) -> tuple[object, ...]:
        return tuple(rng.sample(items, len(items)))

    shuffled = replace(
        request,
        **{key: mixed(getattr(request, key)) for key in ("demands", "suppliers", "packs", "stock")},
    )
    assert order_work_out(shuffled).as_json() == order_work_out(request).as_json()


def tiny_problem(seed: int) -> Problem:
    rng = random.Random(seed)
    baits, shops = rng.choice([1, 2, 3]), rng.choice([1, 2, 3])
    terms = tuple(
        Supplier(
            f"s{n}",
            fee=rng.choice([0, 0, 100, 250, 400]),
            minimum=rng.choice([0, 0, 300, 800, 2000]),
            free_from=rng.choice([None, None, 500, 1500]),
        )
        for n in range(shops)
    )
    lines = []
    for n in range(rng.randint(2, 5)):
        amount = rng.choice([1, 1, 2, 3, 5])
        price = rng.randint(20, 40) * amount * rng.choice([8, 9, 10]) // 10 * 10
        breaks: list[PriceBreak] = []
        if rng.random() < 0.5:
            breaks = [PriceBreak(rng.randint(2, 4), price * rng.choice([7, 8, 9]) // 10)]
        if breaks and rng.random() < 0.3:
            breaks.append(PriceBreak(breaks[0].from_packs + 2, breaks[0].price * 9 // 10))
        shop, bait = f"s{rng.randrange(shops)}", f"b{rng.randrange(baits)}"
        most = rng.choice([None, None, None, 1, 2, 4])
        size = Fraction(amount, 2)
        lines.append(Pack(f"p{n}", shop, bait, size, "pint", price, tuple(breaks), most))
    demands = tuple(
        Demand("m0", f"b{b}", Fraction(rng.randint(0, 18), 4), "pint") for b in range(baits)
    )
    request = OrderRequest(demands, terms, tuple(lines))
    scales = Scales(request)
    needs = team_needs(member_needs(request, scales=scales), request=request, scales=scales)
    return problem_prepare(request, needs=needs, scales=scales).problem


def brute_force(problem: Problem) -> Verdict | None:
    every = product(*(range(line.most + 1) for line in problem.packs))
    verdicts = (counts_judge(problem, counts) for counts in every)
    return min((v for v in verdicts if v), default=None)


def test_tiny_orders_are_those_that_trying_everything_prefers() -> None:
    tried = 0
    for seed in range(400):
        problem = tiny_problem(seed)
        size = 1
        for line in problem.packs:
            size *= line.most + 1
        if size > 3_000:
            continue
        tried += 1
        solved = OrderSearch(problem, deadline=monotonic() + 60).run()
        verdict = counts_judge(problem, solved.counts) if solved.counts is not None else None
        assert verdict == brute_force(problem), seed
    assert tried > 250


def test_the_least_total_found_on_its_own_is_that_of_the_search() -> None:
    for seed in range(2000, 2150):
        problem = tiny_problem(seed)
        searched = OrderSearch(problem, deadline=monotonic() + 60).run()
        total = searched.bound if searched.feasible else None
        assert total_find(problem, deadline=monotonic() + 60) == total, seed


def test_a_least_total_asked_for_too_late_says_so() -> None:
    with pytest.raises(OutOfTime):
        total_find(tiny_problem(1), deadline=monotonic() - 1)


def test_the_programme_and_the_search_prefer_the_same_order() -> None:
    for seed in range(1000, 1030):
        problem = tiny_problem(seed)
        searched = OrderSearch(problem, deadline=monotonic() + 60).run()
        assert programme_solve(problem, seconds=60) == searched.counts, seed
