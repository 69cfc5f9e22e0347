"""Many hands in one larder: nothing is counted on twice, and nothing goes below zero."""

from __future__ import annotations

import datetime as dt
import uuid
from decimal import Decimal
from functools import partial
from typing import Any

import pytest

from bait.models import LarderLot, LotMove, MoveKind, Order
from bait.reads.order_inputs import order_inputs
from bait.writes.larder import lot_bring, lot_count_again, lot_take, lot_throw
from bait.writes.larder_orders import larder_take_for
from bait.writes.left_over import LeftBack, leftovers_put
from bait.writes.plan_content import plan_content_parse
from bait.writes.plans import plan_save
from matches.problems import Code
from tests.races.conftest import answered

pytestmark = pytest.mark.django_db(transaction=True)

AT_ONCE = 8


def bring(world: Any, amount: str, **changes: Any) -> LarderLot:
    kept: dict[str, Any] = {
        "team": world.alders,
        "bait": world.baits["caster"],
        "unit": "pint",
        "state": "fresh",
        "on": dt.date(2026, 6, 18),
        "key": uuid.uuid4(),
    }
    return lot_bring(world.captain, amount=Decimal(amount), **{**kept, **changes})


def sums_agree() -> bool:
    return all(
        sum((m.amount for m in lot.moves.all()), Decimal(0)) == lot.amount
        for lot in LarderLot.objects.prefetch_related("moves")
    )


def test_eight_hands_take_what_is_there_and_no_more(shared_world: Any, together: Any) -> None:
    """A pint in thirds of a tenth: ten takings of 0.3 fit three times, whoever comes first."""
    lot = bring(shared_world, "1")
    works = [
        answered(
            partial(
                lot_take,
                shared_world.captain,
                lot=lot,
                amount=Decimal("0.3"),
                key=uuid.uuid4(),
            )
        )
        for _ in range(AT_ONCE)
    ]
    answers = together(works)
    assert [a for a in answers if a is Code.CONFLICT] == [Code.CONFLICT] * (AT_ONCE - 3)
    lot.refresh_from_db()
    assert lot.amount == Decimal("0.1") and sums_agree()
    assert LotMove.objects.filter(lot=lot, kind=MoveKind.TAKEN).count() == 3


def test_one_tap_sent_eight_times_at_once_moves_once(shared_world: Any, together: Any) -> None:
    lot, tap, arrival = bring(shared_world, "4"), uuid.uuid4(), uuid.uuid4()
    takes = together(
        [partial(lot_take, shared_world.captain, lot=lot, amount=Decimal(1), key=tap)] * AT_ONCE
    )
    assert len({move.pk for move in takes}) == 1
    lots = together([partial(bring, shared_world, "2", key=arrival)] * AT_ONCE)
    assert len({one.pk for one in lots}) == 1
    lot.refresh_from_db()
    assert lot.amount == 3 and sums_agree()
    assert LotMove.objects.count() == 3


def test_taking_throwing_and_counting_at_once_leave_a_ledger_that_adds_up(
    shared_world: Any, together: Any
) -> None:
    lot = bring(shared_world, "2")
    works: list[Any] = []
    for n in range(AT_ONCE):
        amount = Decimal(n + 1) / 10
        works.append(partial(lot_take, shared_world.captain, lot=lot, amount=amount))
        works.append(partial(lot_throw, shared_world.captain, lot=lot, amount=amount))
    works.append(
        partial(lot_count_again, shared_world.captain, lot=lot, found=Decimal(5), seen=Decimal(2))
    )
    together([answered(partial(work, key=uuid.uuid4())) for work in works])
    lot.refresh_from_db()
    assert lot.amount >= 0 and sums_agree()


def test_two_orders_bagged_at_once_share_out_one_lot_without_going_below_zero(
    shared_world: Any, together: Any
) -> None:
    world = shared_world
    bring(world, "3")
    orders = [_order(world, n) for n in range(2)]
    # Neither is placed, so each counts on all of it until the other takes it.
    assert [order_inputs(o).request["stock"][0]["amount"] for o in orders] == ["2", "2"]
    taken = together([partial(larder_take_for, order) for order in orders for _ in range(3)])
    amounts = sorted({tuple(t.amount for t in takes) for takes in taken})
    assert amounts == [(Decimal(1),), (Decimal(2),)]
    assert LarderLot.objects.get().amount == 0 and sums_agree()
    assert LotMove.objects.filter(kind=MoveKind.TAKEN).count() == 2


def _order(world: Any, n: int) -> Order:
    from matches.models import Entry, Match

    match = Match.objects.get(pk=world.match.pk)
    match.pk, match.slug = None, f"open-{n}"
    match.save()
    entry = Entry.objects.create(
        match=match, angler=world.entries["Wilmot"].angler, team=world.alders
    )
    stage = {
        "kind": "feed",
        "end_minute": 300,
        "feeds": [{"bait": "caster", "amount": "2", "unit": "pint"}],
    }
    plan_save(
        world.secretary,
        entry=entry,
        content=plan_content_parse({"version": 0, "spare_percent": 0, "stages": [stage]}),
    )
    return Order.objects.create(team=world.alders, match=match)


def test_captain_and_member_put_the_same_left_overs_back_once(
    shared_world: Any, together: Any
) -> None:
    world = shared_world
    wilmot = world.entries["Wilmot"].angler

    def put(person: Any) -> Any:
        return leftovers_put(
            person,
            team=world.alders,
            match=world.match,
            rows=[
                LeftBack(wilmot, wilmot, world.baits[key], Decimal("0.5"), "frozen")
                for key in ("caster", "hemp")
            ],
            today=dt.date(2026, 6, 21),
        )

    answers = together([partial(put, p) for p in (world.captain, world.member) * 4])
    assert sorted(a.now for a in answers) == [0] * 7 + [2]
    assert LarderLot.objects.count() == 2 and sums_agree()
