"""Payouts: the shared cases, and that not a penny is lost."""

from __future__ import annotations

import json
import random
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from matches.reckon.errors import BadInput
from matches.reckon.payouts import (
    PAYOUTS_EXAMPLE,
    PAYOUTS_EXAMPLE_ANSWER,
    FramePrize,
    PayoutsRequest,
    PoolEntry,
    SectionPrizes,
    payouts_parse,
    payouts_work_out,
)

CASES = json.loads(
    (Path(__file__).parents[1] / "cases" / "payouts.json").read_text(encoding="utf-8")
)


@pytest.mark.parametrize("case", [c for c in CASES if "output" in c], ids=lambda c: c["why"])
def test_case_is_paid(case: dict[str, Any]) -> None:
    assert payouts_work_out(payouts_parse(case["input"])).as_json() == case["output"]


@pytest.mark.parametrize("case", [c for c in CASES if "errors" in c], ids=lambda c: c["why"])
def test_case_is_refused(case: dict[str, Any]) -> None:
    with pytest.raises(BadInput) as refused:
        payouts_parse(case["input"])
    assert sorted(fault.pointer for fault in refused.value.faults) == case["errors"]


def test_the_example_of_the_api_is_true() -> None:
    assert payouts_work_out(payouts_parse(PAYOUTS_EXAMPLE)).as_json() == PAYOUTS_EXAMPLE_ANSWER


@st.composite
def pools(draw: st.DrawFn) -> PayoutsRequest:
    rows = draw(st.lists(st.tuples(st.sampled_from("ABC"), st.integers(0, 6)), max_size=12))
    entries = tuple(PoolEntry(f"m{n:02d}", s, w) for n, (s, w) in enumerate(rows))
    amounts = draw(st.lists(st.integers(0, 1_000), max_size=5))
    frame = tuple(FramePrize(place, amount=amount) for place, amount in enumerate(amounts, 1))
    sections = draw(
        st.one_of(
            st.none(), st.builds(SectionPrizes, st.integers(0, 500), by_default=st.booleans())
        )
    )
    prizes = PayoutsRequest(0, entries, frame, sections).prizes
    pool = prizes + draw(st.integers(0, 300))
    return PayoutsRequest(pool, entries, frame, sections)


@given(pools())
def test_paid_and_unallocated_are_the_pool(request: PayoutsRequest) -> None:
    worked = payouts_work_out(request)
    assert worked.paid + worked.unallocated == request.pool
    assert worked.unallocated >= 0
    assert sum(worked.totals.values()) == worked.paid
    assert all(payment.amount > 0 for payment in worked.payments)


@given(pools())
def test_blanks_win_nothing_and_equals_differ_by_a_penny_a_prize(request: PayoutsRequest) -> None:
    weight = {entry.angler: entry.weight for entry in request.entries}
    paid = dict.fromkeys(weight, 0)
    for payment in payouts_work_out(request).payments:
        if payment.reason == "frame":
            paid[payment.angler] += payment.amount
    assert all(weight[angler] for angler in payouts_work_out(request).totals)
    for one in paid:
        for other in paid:
            if weight[one] == weight[other]:
                assert abs(paid[one] - paid[other]) <= 1


@given(pools(), st.randoms(use_true_random=False))
def test_the_order_of_entries_and_prizes_does_not_matter(
    request: PayoutsRequest, luck: random.Random
) -> None:
    stirred = PayoutsRequest(
        request.pool,
        tuple(luck.sample(request.entries, len(request.entries))),
        tuple(luck.sample(request.frame, len(request.frame))),
        request.sections,
    )
    assert payouts_work_out(stirred) == payouts_work_out(request)


def test_the_refusal_says_what_the_prizes_come_to() -> None:
    with pytest.raises(BadInput, match=r"The prizes come to 160\.00, more than the pool"):
        payouts_parse(
            {**PAYOUTS_EXAMPLE, "pool": "159.99", "frame": [{"place": 1, "amount": "100.00"}]}
        )
