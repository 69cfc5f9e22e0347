"""What is bought already stays on the order, and the rest is worked out around it."""

from __future__ import annotations

import random
from dataclasses import replace
from fractions import Fraction
from itertools import product
from time import monotonic
from typing import Any

import pytest

from bait.reckon.order import (
    ORDER_EXAMPLE,
    ORDER_EXAMPLE_ANSWER,
    Demand,
    OrderRequest,
    Pack,
    PriceBreak,
    Supplier,
    order_parse,
    order_work_out,
)
from bait.reckon.order.model import Problem, Verdict, counts_judge
from bait.reckon.order.prepare import Scales, member_needs, problem_prepare, team_needs
from bait.reckon.order.search import OrderSearch
from bait.reckon.order.ties import order_find
from bait.reckon.order.totals import total_find
from matches.reckon.errors import BadInput
from tests.programme import programme_solve
from tests.thorough import trials


def request_made(seed: int) -> OrderRequest:
    """Up to 3 baits, 5 packs and 3 shops, some packs bought already, some baits not needed."""
    rng = random.Random(seed)
    baits, shops = rng.choice([1, 2, 3]), rng.choice([1, 2, 3])
    suppliers = tuple(
        Supplier(
            f"s{n}",
            fee=rng.choice([0, 0, 100, 250, 400]),
            minimum=rng.choice([0, 0, 300, 800]),
            free_from=rng.choice([None, None, 500, 1500]),
        )
        for n in range(shops)
    )
    packs = tuple(_pack(rng, n, baits=baits, shops=shops) for n in range(rng.randint(2, 5)))
    demands = tuple(
        Demand(f"m{b % 2}", f"b{b}", Fraction(rng.choice([0, rng.randint(1, 18)]), 4), "pint")
        for b in range(baits)
    )
    return OrderRequest(demands, suppliers, packs, compare_alone=False)


def _pack(rng: random.Random, n: int, *, baits: int, shops: int) -> Pack:
    amount = rng.choice([1, 1, 2, 3, 5])
    price = rng.randint(20, 40) * amount * rng.choice([8, 9, 10]) // 10 * 10
    breaks: tuple[PriceBreak, ...] = ()
    if rng.random() < 0.5:
        breaks = (PriceBreak(rng.randint(2, 4), price * rng.choice([6, 8, 9]) // 10),)
    most = rng.choice([None, None, 3, 4])
    return Pack(
        f"p{n}",
        f"s{rng.randrange(shops)}",
        f"b{rng.randrange(baits)}",
        Fraction(amount, 2),
        "pint",
        price,
        breaks,
        most,
        bought=rng.choice([0, 0, 1, 2, 3]),
    )


def problem_of(request: OrderRequest) -> Problem:
    scales = Scales(request)
    needs = team_needs(member_needs(request, scales=scales), request=request, scales=scales)
    return problem_prepare(request, needs=needs, scales=scales).problem


def listings(problem: Problem) -> int:
    size = 1
    for line in problem.packs:
        size *= line.most - line.least + 1
    return size


def brute_force(problem: Problem) -> Verdict | None:
    """The preferred of every list of counts there is, from each pack's least to its most."""
    every = product(*(range(line.least, line.most + 1) for line in problem.packs))
    verdicts = (counts_judge(problem, counts) for counts in every)
    return min((v for v in verdicts if v), default=None)


def test_with_packs_bought_every_way_finds_what_trying_everything_prefers() -> None:
    tried = 0
    for seed in range(trials(170, in_full=500)):
        problem = problem_of(request_made(seed))
        if listings(problem) > 3_000 or not any(line.least for line in problem.packs):
            continue
        tried += 1
        wanted = brute_force(problem)
        for solved in (
            OrderSearch(problem, deadline=monotonic() + 60).run(),
            order_find(problem, deadline=monotonic() + 60),
        ):
            found = None if solved.counts is None else counts_judge(problem, solved.counts)
            assert found == wanted, seed
        total = total_find(problem, deadline=monotonic() + 60)
        assert total == (None if wanted is None else wanted.total), seed
    assert tried > trials(50, in_full=150)


def test_the_programme_agrees_with_packs_bought() -> None:
    tried = 0
    for seed in range(1000, 1060):
        problem = problem_of(request_made(seed))
        if not any(line.least for line in problem.packs):
            continue
        tried += 1
        searched = OrderSearch(problem, deadline=monotonic() + 60).run()
        assert programme_solve(problem, seconds=60) == searched.counts, seed
    assert tried > 25


def test_with_nothing_bought_the_answer_is_unchanged() -> None:
    said = {**ORDER_EXAMPLE, "packs": [{**ORDER_EXAMPLE["packs"][0], "bought": 0}]}
    assert order_work_out(order_parse(said)).as_json() == ORDER_EXAMPLE_ANSWER


def test_with_the_least_order_bought_the_answer_is_itself() -> None:
    for seed in range(2000, 2000 + trials(60, in_full=120)):
        request = replace(request_made(seed), compare_alone=seed % 4 == 0)
        request = _with_bought(request, dict.fromkeys((p.id for p in request.packs), 0))
        answer = order_work_out(request)
        again = order_work_out(_with_bought(request, {x.pack: x.packs for x in answer.lines}))
        assert again == answer, seed


def test_the_total_never_falls_when_more_of_what_is_needed_is_bought() -> None:
    compared = 0
    for seed in range(3000, 3000 + trials(100, in_full=300)):
        rng, request = random.Random(seed), request_made(seed)
        # Without minimums: one that cannot be met is waived for what is bought there already.
        shops = tuple(replace(s, minimum=0) for s in request.suppliers)
        needed = {d.bait for d in request.demands if d.amount}
        open_packs = [p for p in request.packs if p.bait in needed and p.max_packs is None]
        if not open_packs:
            continue
        request = replace(request, suppliers=shops)
        more = rng.choice(open_packs)
        counts = {p.id: p.bought + (p.id == more.id) for p in request.packs}
        before, after = order_work_out(request), order_work_out(_with_bought(request, counts))
        assert after.total >= before.total, seed
        compared += 1
    assert compared > trials(33, in_full=100)


def _with_bought(request: OrderRequest, counts: dict[str, int]) -> OrderRequest:
    packs = tuple(
        replace(p, bought=min(counts.get(p.id, 0), p.max_packs if p.max_packs is not None else 99))
        for p in request.packs
    )
    return replace(request, packs=packs)


def order(*, hemp: str, packs: list[dict[str, Any]], **terms: str) -> dict[str, Any]:
    raw = {
        "demands": [{"member": "m1", "bait": "hemp", "amount": hemp, "unit": "pint"}],
        "suppliers": [{"id": "s1"} | terms, {"id": "s2"}],
        "packs": [
            {"supplier": "s1", "bait": "hemp", "amount": "1", "unit": "pint"} | p for p in packs
        ],
    }
    return order_work_out(order_parse(raw)).as_json()


def test_a_pack_bought_of_a_bait_nobody_needs_any_more_is_kept_and_left_over() -> None:
    found = order(
        hemp="2",
        packs=[
            {"id": "p1", "price": "2.00"},
            {"id": "p2", "bait": "caster", "price": "4.00", "bought": 3},
        ],
    )
    assert [(line["pack"], line["packs"]) for line in found["lines"]] == [("p1", 2), ("p2", 3)]
    assert found["left_over"] == [{"bait": "caster", "amount": "3", "unit": "pint"}]
    assert (found["status"], found["total"]) == ("optimal", "16.00")
    assert found["shares"][0]["due"] == "16.00"


def test_what_is_bought_beyond_the_need_is_kept_and_left_over() -> None:
    found = order(hemp="2", packs=[{"id": "p1", "price": "2.00", "bought": 5}])
    assert [(line["pack"], line["packs"]) for line in found["lines"]] == [("p1", 5)]
    assert found["left_over"] == [{"bait": "hemp", "amount": "3", "unit": "pint"}]


def test_the_rest_is_bought_where_delivery_is_paid_already() -> None:
    # Elsewhere the rest would be 5.70; here it is 6.00, and the fee of 4.00 is paid either way.
    packs: list[dict[str, Any]] = [
        {"id": "p1", "price": "2.00", "bought": 1},
        {"id": "p2", "supplier": "s2", "price": "1.90"},
    ]
    found = order(hemp="4", packs=packs, delivery_fee="4.00", free_delivery_from="8.00")
    assert [(line["pack"], line["packs"]) for line in found["lines"]] == [("p1", 4)]
    assert found["total"] == "8.00"


def test_what_is_sold_out_is_bought_elsewhere_and_what_is_bought_stays() -> None:
    packs: list[dict[str, Any]] = [
        {"id": "p1", "price": "2.00", "bought": 1, "max_packs": 1},
        {"id": "p2", "supplier": "s2", "price": "2.50"},
    ]
    found = order(hemp="3", packs=packs)
    assert [(line["pack"], line["packs"]) for line in found["lines"]] == [("p1", 1), ("p2", 2)]
    assert found["total"] == "7.00"


def test_a_minimum_that_can_no_longer_be_reached_is_asked_no_more() -> None:
    packs = [{"id": "p1", "price": "2.00", "bought": 1, "max_packs": 1}]
    found = order(hemp="3", packs=packs, minimum_spend="20.00", delivery_fee="4.00")
    assert [(line["pack"], line["packs"]) for line in found["lines"]] == [("p1", 1)]
    assert found["total"] == "6.00"
    assert found["short"][0]["amount"] == "2"


@pytest.mark.parametrize("bought", [-1, "2", 10_001, True, 1.5])
def test_a_bought_that_is_no_count_is_pointed_at(bought: object) -> None:
    with pytest.raises(BadInput) as caught:
        order(hemp="1", packs=[{"id": "p1", "price": "2.00", "bought": bought}])
    assert [fault.pointer for fault in caught.value.faults] == ["/packs/0/bought"]


def test_more_bought_than_there_may_be_is_pointed_at() -> None:
    with pytest.raises(BadInput) as caught:
        order(hemp="1", packs=[{"id": "p1", "price": "2.00", "bought": 3, "max_packs": 2}])
    assert [fault.pointer for fault in caught.value.faults] == ["/packs/0/bought"]
