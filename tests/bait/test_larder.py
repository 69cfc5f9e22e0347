"""Bait comes in, goes out and is counted again: every movement kept, none made twice."""

from __future__ import annotations

import datetime as dt
import uuid
from decimal import Decimal
from typing import Any

import pytest

from bait.models import LarderLot, LotMove, MoveKind, Order
from bait.reads.larder_orders import order_takes, order_takes_moved
from bait.reads.order_inputs import order_inputs
from bait.writes.larder import (
    lot_bring,
    lot_count_again,
    lot_freeze,
    lot_take,
    lot_throw,
    move_undo,
)
from bait.writes.larder_orders import larder_give_back_for, larder_take_for
from bait.writes.orders import order_place
from matches.models import AuditEntry
from matches.problems import Code, Problem
from matches.reckon.errors import BadInput
from tests.ordered import planned, worked_out

DAY = dt.date(2026, 6, 20)


def bring(world: Any, amount: str = "2", *, who: str = "captain", **changes: Any) -> LarderLot:
    kept = {
        "team": world.alders,
        "bait": world.baits["caster"],
        "unit": "pint",
        "state": "fresh",
        "on": DAY - dt.timedelta(days=2),
        "key": uuid.uuid4(),
    }
    return lot_bring(getattr(world, who), amount=Decimal(amount), **{**kept, **changes})


def ledger(lot: LarderLot) -> list[tuple[str, Decimal]]:
    return [(m.kind, m.amount) for m in LotMove.objects.filter(lot=lot).order_by("pk")]


def sums_agree() -> bool:
    return all(
        sum((m.amount for m in lot.moves.all()), Decimal(0)) == lot.amount
        for lot in LarderLot.objects.prefetch_related("moves")
    )


def test_a_lots_amount_is_the_sum_of_its_moves_to_the_last_place(world: Any) -> None:
    """0.3 less 0.1 and 0.2 is nothing at all, on a database that counts in binary too."""
    lot = bring(world, "0.3")
    lot_take(world.captain, lot=lot, amount=Decimal("0.1"), key=uuid.uuid4())
    lot_throw(world.captain, lot=lot, amount=Decimal("0.2"), key=uuid.uuid4())
    lot.refresh_from_db()
    assert lot.amount == 0
    assert ledger(lot) == [
        ("brought", Decimal("0.3")),
        ("taken", Decimal("-0.1")),
        ("thrown", Decimal("-0.2")),
    ]
    assert sums_agree()
    assert AuditEntry.objects.filter(verb__startswith="larder.").count() == 3


def test_more_than_is_there_is_refused_and_nothing_moves(world: Any) -> None:
    lot = bring(world, "2")
    with pytest.raises(Problem) as refused:
        lot_take(world.captain, lot=lot, amount=Decimal("2.0001"), key=uuid.uuid4())
    assert refused.value.code is Code.CONFLICT
    assert "Only 2 pint are left" in refused.value.detail
    lot.refresh_from_db()
    assert (lot.amount, len(ledger(lot))) == (2, 1)


def test_the_same_tap_moves_once(world: Any) -> None:
    key = uuid.uuid4()
    lot = bring(world, "2", key=key)
    assert bring(world, "2", key=key) == lot
    tap = uuid.uuid4()
    moves = [lot_take(world.captain, lot=lot, amount=Decimal("0.5"), key=tap) for _ in range(3)]
    assert len({move.pk for move in moves}) == 1
    count = uuid.uuid4()
    for _ in range(2):
        lot_count_again(
            world.captain, lot=lot, found=Decimal("1.25"), seen=Decimal("1.5"), key=count
        )
    lot.refresh_from_db()
    assert lot.amount == Decimal("1.25")
    assert [kind for kind, _ in ledger(lot)] == ["brought", "taken", "corrected"]


def test_a_key_of_another_move_is_refused(world: Any) -> None:
    tap = uuid.uuid4()
    lot, other = bring(world), bring(world)
    lot_take(world.captain, lot=lot, amount=Decimal(1), key=tap)
    for again in (
        lambda: lot_throw(world.captain, lot=lot, amount=Decimal(1), key=tap),
        lambda: lot_take(world.captain, lot=other, amount=Decimal(1), key=tap),
        lambda: bring(world, key=tap),
    ):
        with pytest.raises(Problem) as refused:
            again()
        assert refused.value.code is Code.CONFLICT
    assert LotMove.objects.count() == 3


def test_a_count_from_before_somebody_took_is_refused(world: Any) -> None:
    lot = bring(world, "2")
    lot_take(world.captain, lot=lot, amount=Decimal("0.5"), key=uuid.uuid4())
    with pytest.raises(Problem) as refused:
        lot_count_again(world.captain, lot=lot, found=Decimal(2), seen=Decimal(2), key=uuid.uuid4())
    assert refused.value.code is Code.CONFLICT
    seen = Decimal("1.5")
    assert lot_count_again(world.captain, lot=lot, found=seen, seen=seen, key=uuid.uuid4()) is None
    zero = lot_count_again(world.captain, lot=lot, found=Decimal(0), seen=seen, key=uuid.uuid4())
    assert zero is not None and zero.amount == Decimal("-1.5")
    assert sums_agree()


def test_what_was_thrown_by_a_slip_comes_back_once(world: Any) -> None:
    lot = bring(world, "2")
    move = lot_throw(world.captain, lot=lot, amount=Decimal(2), key=uuid.uuid4())
    assert move_undo(world.captain, move=move) == move_undo(world.captain, move=move)
    lot.refresh_from_db()
    assert lot.amount == 2 and sums_agree()
    with pytest.raises(Problem):
        move_undo(world.captain, move=LotMove.objects.get(kind=MoveKind.BROUGHT))


@pytest.mark.parametrize(
    ("changes", "where"),
    [
        ({"amount": "0"}, "/amount"),
        ({"amount": "-1"}, "/amount"),
        ({"amount": "0.00001"}, "/amount"),
        ({"amount": "10001"}, "/amount"),
        ({"amount": "NaN"}, "/amount"),
        ({"unit": "kg"}, "/unit"),  # caster has no density here
        ({"unit": "bucket"}, "/unit"),
        ({"state": "boiled"}, "/state"),
        ({"use_by": DAY - dt.timedelta(days=3)}, "/use_by"),
    ],
)
def test_what_no_lot_can_be_is_refused(world: Any, changes: dict[str, Any], where: str) -> None:
    with pytest.raises(BadInput) as refused:
        bring(world, **changes)
    assert [fault.pointer for fault in refused.value.faults] == [where]
    assert not LarderLot.objects.exists() and not LotMove.objects.exists()


@pytest.mark.parametrize("who", ["rival", "weigher", "outsider", "member"])
def test_only_the_captain_and_the_secretary_move_the_teams_bait(world: Any, who: str) -> None:
    lot = bring(world)
    person = getattr(world, who)
    for forbidden in (
        lambda: bring(world, who=who),
        lambda: lot_take(person, lot=lot, amount=Decimal(1), key=uuid.uuid4()),
        lambda: lot_throw(person, lot=lot, amount=Decimal(1), key=uuid.uuid4()),
        lambda: lot_freeze(person, lot=lot, on=DAY),
        lambda: lot_count_again(
            person, lot=lot, found=Decimal(1), seen=Decimal(2), key=uuid.uuid4()
        ),
    ):
        with pytest.raises(Problem) as refused:
            forbidden()
        assert refused.value.code is Code.NOT_ALLOWED
    assert LotMove.objects.count() == 1


def test_a_member_moves_their_own_and_nobody_elses(world: Any) -> None:
    wilmot, maud = world.entries["Wilmot"].angler, world.entries["Maud"].angler
    lot = bring(world, who="member", angler=wilmot)
    lot_take(world.member, lot=lot, amount=Decimal(1), key=uuid.uuid4())
    with pytest.raises(Problem):
        bring(world, who="member", angler=maud)
    with pytest.raises(Problem):
        bring(world, who="member", angler=wilmot, team=world.teals)


def test_freezing_changes_the_day_and_happens_once(world: Any) -> None:
    lot = bring(world)
    assert lot.use_by == DAY + dt.timedelta(days=5)
    frozen = lot_freeze(world.captain, lot=lot, on=DAY)
    assert (frozen.state, frozen.use_by) == ("frozen", DAY + dt.timedelta(days=90))
    again = lot_freeze(world.captain, lot=lot, on=DAY + dt.timedelta(days=30))
    assert again.use_by == DAY + dt.timedelta(days=90)
    late = bring(world)
    for never, day in ((bring(world, state="dry"), DAY), (late, DAY + dt.timedelta(days=6))):
        with pytest.raises(Problem) as refused:
            lot_freeze(world.captain, lot=never, on=day)
        assert refused.value.code is Code.CONFLICT
    late.refresh_from_db()
    assert late.state == "fresh"


@pytest.mark.usefixtures("alders_plans")
class TestOrders:
    """Maud plans 2.5 pints of caster and Wilmot 7, all to be fed loose."""

    def test_the_request_counts_on_what_is_of_use_and_no_more(self, world: Any) -> None:
        order = Order.objects.create(team=world.alders, match=world.match)
        first = order_inputs(order)
        bring(world, "3", state="frozen")  # was alive: not for loose feed
        assert order_inputs(order).digest == first.digest
        bring(world, "8", angler=world.entries["Maud"].angler)
        with_own = order_inputs(order)
        assert with_own.request["stock"] == [
            {
                "bait": "caster",
                "amount": "2.5",
                "unit": "pint",
                "member": str(world.entries["Maud"].angler_id),
            }
        ]
        bring(world, "8", angler=world.entries["Maud"].angler)  # she needs no more
        assert order_inputs(order).digest == with_own.digest

    def test_litres_in_hand_count_for_pints(self, world: Any) -> None:
        order = Order.objects.create(team=world.alders, match=world.match)
        bring(world, "1", unit="L")
        (row,) = order_inputs(order).request["stock"]
        # 1 / 0.56826125 = 1.759753..., and never more than there is
        assert (row["amount"], row["unit"]) == ("1.7597", "pint")

    def test_lots_go_to_members_when_the_bags_are_filled_and_once(self, world: Any) -> None:
        old = bring(world, "1", on=DAY - dt.timedelta(days=5))
        new = bring(world, "9")
        own = bring(world, "0.5", angler=world.entries["Maud"].angler)
        version = worked_out(world)
        order = version.order
        planned = order_takes(order)
        assert [(t.lot, t.angler_name, t.amount) for t in planned] == [
            (new, "Maud Ferris", Decimal(2)),
            (own, "Maud Ferris", Decimal("0.5")),
            (old, "Wilmot Crane", Decimal(1)),
            (new, "Wilmot Crane", Decimal(6)),
        ]
        taken = larder_take_for(order, person=world.captain)
        assert [(t.lot, t.amount) for t in taken] == [(t.lot, t.amount) for t in planned]
        again = larder_take_for(order, person=world.captain)
        assert [(t.lot, t.angler_id, t.amount) for t in again] == [
            (t.lot, t.angler_id, t.amount) for t in planned
        ]
        assert [(t.angler_name, t.amount) for t in order_takes(order)] == [
            (t.angler_name, t.amount) for t in planned
        ]
        assert LotMove.objects.filter(order=order, kind=MoveKind.TAKEN).count() == 4
        new.refresh_from_db()
        assert new.amount == 1 and sums_agree()

    def test_a_version_says_which_lot_goes_to_whom(self, world: Any) -> None:
        lot = bring(world, "1")
        version = worked_out(world)
        assert version.answer["larder"] == [
            {
                "lot": lot.pk,
                "member": str(world.entries["Wilmot"].angler_id),
                "bait": "caster",
                "amount": "1",
                "unit": "pint",
                "state": "fresh",
                "own": False,
                "use_by": "2026-06-25",
            }
        ]

    def test_a_placed_order_takes_what_it_was_placed_with_and_leaves_the_rest(
        self, world: Any
    ) -> None:
        """Its packs are bought: bait that came since is for another day."""
        bring(world, "1", on=DAY - dt.timedelta(days=5))
        version = worked_out(world)
        order_place(world.captain, order=version.order, version=version)
        bring(world, "6", on=DAY - dt.timedelta(days=6))
        order = Order.objects.get(pk=version.order_id)
        assert [t.amount for t in larder_take_for(order)] == [Decimal(1)]

    def test_an_order_gives_back_and_takes_again(self, world: Any) -> None:
        lot = bring(world, "3")
        order = worked_out(world).order
        for _turn in range(3):
            assert len(larder_take_for(order)) == 1
            lot.refresh_from_db()
            assert lot.amount == 0
            assert larder_give_back_for(order) == 1
            assert larder_give_back_for(order) == 0
            lot.refresh_from_db()
            assert (lot.amount, order_takes_moved(order)) == (3, [])
        assert sums_agree()

    def test_what_one_order_was_placed_with_no_other_counts_on(self, world: Any) -> None:
        from matches.models import Entry, Match

        bring(world, "4", use_by=DAY + dt.timedelta(days=30))
        version = worked_out(world)
        later = Match.objects.get(pk=world.match.pk)
        later.pk, later.slug, later.date = None, "july-open", DAY + dt.timedelta(days=7)
        later.save()
        entry = Entry.objects.create(
            match=later, angler=world.entries["Wilmot"].angler, team=world.alders
        )
        planned(world, entry, caster="6")
        other = Order.objects.create(team=world.alders, match=later)
        assert [row["amount"] for row in order_inputs(other).request["stock"]] == ["4"]
        order_place(world.captain, order=version.order, version=version)
        assert order_inputs(other).request["stock"] == []
        larder_take_for(version.order)
        Order.objects.filter(pk=version.order_id).update(
            received_at=dt.datetime(2026, 6, 19, tzinfo=dt.UTC),
            bagged_at=dt.datetime(2026, 6, 19, tzinfo=dt.UTC),
        )
        bring(world, "1", use_by=DAY + dt.timedelta(days=30))
        assert [row["amount"] for row in order_inputs(other).request["stock"]] == ["1"]
