"""No order is ever missing: where a solver finds none in its time, one is put together by hand."""

from __future__ import annotations

from typing import Any

import pytest

from bait.reckon.order import order_parse, order_work_out, work
from bait.reckon.order.filled import filled
from bait.reckon.order.milp import Solved
from bait.reckon.order.model import PackLine, Problem, Terms, counts_judge

REQUEST: dict[str, Any] = {
    "demands": [{"member": "m1", "bait": "caster", "amount": "9.5", "unit": "pint"}],
    "suppliers": [{"id": "s1", "minimum_spend": "20.00"}, {"id": "s2", "delivery_fee": "4.00"}],
    "packs": [
        {"id": id, "supplier": shop, "bait": "caster", "amount": n, "unit": "pint", "price": price}
        for id, shop, n, price in [("p1", "s1", "1", "4.00"), ("p2", "s2", "4", "17.00")]
    ],
    "compare_alone": False,
}


def lines(*packs: tuple[int, int, int, int]) -> Problem:
    """(amount, price, most, least) of one bait of which ten are needed."""
    return Problem(
        needs=(10,),
        packs=tuple(
            PackLine(f"p{n}", 0, 0, amount, ((1, price),), most, least)
            for n, (amount, price, most, least) in enumerate(packs)
        ),
        terms=(Terms(0, 0, None),),
    )


@pytest.mark.parametrize(
    ("problem", "counts"),
    [
        (lines((1, 30, 20, 0), (4, 100, 3, 0)), (0, 3)),
        (lines((1, 30, 20, 0), (4, 100, 2, 0)), (2, 2)),
        (lines((1, 30, 20, 5), (4, 100, 3, 0)), (5, 2)),
        (lines((1, 30, 20, 12), (4, 100, 3, 0)), (12, 0)),
    ],
)
def test_what_gives_most_for_its_price_is_taken_first(
    problem: Problem, counts: tuple[int, ...]
) -> None:
    assert filled(problem) == counts
    assert counts_judge(problem, counts) is not None


def test_an_order_comes_out_though_no_solver_finds_one(monkeypatch: pytest.MonkeyPatch) -> None:
    asked = []

    def nothing(problem: Problem, **_kept: object) -> Solved:
        asked.append(problem)
        return Solved(None, 0, settled=False)

    monkeypatch.setattr(work, "problem_solve", nothing)
    answer = order_work_out(order_parse(REQUEST)).as_json()
    assert len(asked) == 2  # with the shop that has a minimum, and without
    assert answer["status"] == "best_found"
    assert answer["total"] == "55.00"
    assert answer["proof"] == {"lower_bound": "0.00", "gap": "55.00"}
