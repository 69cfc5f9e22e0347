"""Two captains at once, and many taps on one button: an order's steps happen once."""

from __future__ import annotations

import datetime as dt
import uuid
from collections.abc import Callable
from decimal import Decimal
from typing import Any

import pytest

from bait.models import LarderLot, Order, ReceivedLine, SoldOut
from bait.writes.larder import lot_bring
from bait.writes.order_life import change_accept, order_bag, order_receive
from bait.writes.order_marks import sold_out_mark
from bait.writes.orders import order_place
from matches.models import AuditEntry, WorkRequest
from matches.problems import Code
from tests.ordered import planned, worked_out
from tests.races.conftest import answered

pytestmark = pytest.mark.django_db(transaction=True)

AT_ONCE = 8


def placed_order(world: Any) -> Any:
    """The order with its placed version, and a pint of caster in the larder it counts on."""
    lot_bring(
        world.captain,
        team=world.alders,
        bait=world.baits["caster"],
        amount=Decimal(1),
        unit="pint",
        state="fresh",
        on=world.match.date - dt.timedelta(days=1),
        key=uuid.uuid4(),
    )
    planned(world, "Maud", caster="3")
    version = worked_out(world)
    order = order_place(world.captain, order=version.order, version=version)
    return order, version


def test_two_captains_placing_different_versions_place_one(
    shared_world: Any, together: Any
) -> None:
    world = shared_world
    planned(world, "Maud", caster="3")
    first = worked_out(world)
    planned(world, "Maud", caster="4")
    second = worked_out(world)

    def place(person: Any, version: Any) -> Callable[[], Any]:
        order = Order.objects.select_related("team__club").get(pk=version.order_id)
        return answered(lambda: order_place(person, order=order, version=version).placed_id)

    answers = together([place(world.captain, first), place(world.secretary, second)] * 4)
    placed = Order.objects.get().placed_id
    assert sorted(answers, key=str) == sorted([placed, *[Code.CONFLICT] * 7], key=str)
    assert AuditEntry.objects.filter(verb="order.placed").count() == 1


def test_eight_taps_on_accept_change_the_order_once(shared_world: Any, together: Any) -> None:
    world = shared_world
    order, _version = placed_order(world)
    planned(world, "Maud", caster="5")
    later = worked_out(world)
    answers = together(
        [
            answered(
                lambda: (
                    change_accept(
                        world.captain,
                        order=Order.objects.select_related("team__club").get(pk=order.pk),
                        version=later,
                    ).placed_id
                )
            )
        ]
        * AT_ONCE
    )
    assert sorted(answers, key=str) == sorted([later.pk, *[Code.CONFLICT] * 7], key=str)
    assert AuditEntry.objects.filter(verb="order.change_accepted").count() == 1


def test_eight_taps_on_received_and_on_bagged_count_and_take_once(
    shared_world: Any, together: Any
) -> None:
    world = shared_world
    order, version = placed_order(world)

    def again() -> Order:
        return Order.objects.select_related("team__club").get(pk=order.pk)

    def receive() -> str:
        order_receive(world.captain, order=again(), version=version, lines={})
        return "done"

    def bag() -> str:
        order_bag(world.captain, order=again())
        return "done"

    for step in (receive, bag):
        answers = together([answered(step)] * AT_ONCE)
        assert sorted(answers, key=str) == sorted(["done", *[Code.CONFLICT] * 7], key=str)
    assert ReceivedLine.objects.filter(order=order).count() == version.lines.count()
    assert LarderLot.objects.get().amount == 0


def test_eight_marks_of_one_pack_are_one_mark_and_one_work(
    shared_world: Any, together: Any
) -> None:
    world = shared_world
    order, _version = placed_order(world)
    pack = world.packs["caster"].pk

    def mark() -> str:
        found = Order.objects.select_related("team__club", "match__club").get(pk=order.pk)
        sold_out_mark(world.captain, order=found, pack_id=pack, packs=1)
        return "done"

    assert together([mark] * AT_ONCE) == ["done"] * AT_ONCE
    assert SoldOut.objects.get().packs == 1
    assert WorkRequest.objects.filter(state="waiting").count() == 1
