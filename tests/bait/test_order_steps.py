"""The steps of a placed order: received with shorts, bagged, settled, and each step back."""

from __future__ import annotations

import datetime as dt
import uuid
from decimal import Decimal
from typing import Any

import pytest

from bait.models import (
    LarderLot,
    Order,
    ReceivedLine,
    Shop,
)
from bait.reads.order_life import (
    OrderState,
    cut_off_at,
    order_state,
    order_steps,
    worked_out_later,
)
from bait.writes.kitty import shop_pay
from bait.writes.larder import lot_bring
from bait.writes.order_life import (
    Came,
    change_accept,
    change_take_back,
    order_bag,
    order_bag_back,
    order_receive,
    order_receive_back,
    order_settle,
    order_settle_back,
)
from bait.writes.order_marks import shop_back, shop_leave_out, sold_out_mark, sold_out_unmark
from bait.writes.orders import order_place, order_withdraw
from matches.problems import Code
from matches.reckon.errors import BadInput
from tests.bait.orders_placed import fresh, placed_version, refused
from tests.ordered import worked_out

pytestmark = pytest.mark.usefixtures("alders_plans")


def test_shorts_are_kept_and_charged_nothing_and_can_be_written_anew(
    world: Any, placed: Order
) -> None:
    version, pack = placed.placed, world.packs["caster"]
    assert version is not None
    lines = {pack.pk: Came(8, "two split")}
    order_receive(world.captain, order=placed, version=version, lines=lines)
    row = ReceivedLine.objects.get()
    assert (row.pack, row.packs, row.note) == (pack, 8, "two split")
    refused(lambda: order_receive(world.captain, order=placed, version=version, lines={}))
    refused(lambda: order_withdraw(world.captain, order=placed, version=version))
    refused(lambda: sold_out_mark(world.captain, order=placed, pack_id=pack.pk))
    order_receive_back(world.captain, order=placed)
    assert fresh(placed).received_at is None
    assert ReceivedLine.objects.get().note == "two split"
    order_receive(world.captain, order=placed, version=version, lines={})
    assert ReceivedLine.objects.get().packs == 10


def test_what_was_written_of_a_withdrawn_order_is_not_kept_for_the_next(
    world: Any, placed: Order
) -> None:
    version = placed_version(placed)
    lines = {world.packs["caster"].pk: Came(8, "two split")}
    order_receive(world.captain, order=placed, version=version, lines=lines)
    order_receive_back(world.captain, order=placed)
    order_withdraw(world.captain, order=placed, version=version)
    assert not ReceivedLine.objects.exists()


def test_what_was_written_before_a_late_change_is_not_kept_past_it(
    world: Any, placed: Order, plan_for: Any
) -> None:
    lines = {world.packs["caster"].pk: Came(8, "two split")}
    order_receive(world.captain, order=placed, version=placed_version(placed), lines=lines)
    order_receive_back(world.captain, order=placed)
    plan_for("Maud", caster="5")
    later = worked_out(world)
    change_accept(world.captain, order=fresh(placed), version=later)
    assert not ReceivedLine.objects.exists()
    order_receive(world.captain, order=fresh(placed), version=later, lines=lines)
    order_receive_back(world.captain, order=fresh(placed))
    change_take_back(world.captain, order=fresh(placed), version=later)
    assert not ReceivedLine.objects.exists()


def test_a_count_of_what_came_that_is_none_is_pointed_at(world: Any, placed: Order) -> None:
    pack = world.packs["caster"].pk
    with pytest.raises(BadInput) as caught:
        order_receive(
            world.captain,
            order=placed,
            version=placed_version(placed),
            lines={pack: Came(-1, "x" * 201)},
        )
    assert [f.pointer for f in caught.value.faults] == [
        f"/lines/{pack}/packs",
        f"/lines/{pack}/note",
    ]
    assert fresh(placed).received_at is None


def test_bags_take_the_larder_and_give_it_back(world: Any) -> None:
    lot = lot_bring(
        world.captain,
        team=world.alders,
        bait=world.baits["caster"],
        amount=Decimal(1),
        unit="pint",
        state="fresh",
        on=world.match.date - dt.timedelta(days=1),
        key=uuid.uuid4(),
    )
    version = worked_out(world)
    order = order_place(world.captain, order=version.order, version=version)
    refused(lambda: order_bag(world.captain, order=order))
    order_receive(world.captain, order=order, version=version, lines={})
    order_bag(world.captain, order=order)
    assert LarderLot.objects.get(pk=lot.pk).amount == 0
    refused(lambda: order_receive_back(world.captain, order=order))
    refused(lambda: order_bag(world.captain, order=order))
    order_bag_back(world.captain, order=order)
    assert LarderLot.objects.get(pk=lot.pk).amount == 1
    assert fresh(order).bagged_at is None


def test_an_order_is_settled_once_nobody_owes_anybody(world: Any, placed: Order) -> None:
    version = placed.placed
    assert version is not None
    order_receive(world.captain, order=placed, version=version, lines={})
    order_bag(world.captain, order=placed)
    refused(lambda: order_settle(world.captain, order=placed))
    angler = {"Maud": 1000, "Wilmot": 2800}
    for first, pence in angler.items():
        shop_pay(
            world.captain,
            order=placed,
            shop_id=world.shops["hut"].pk,
            angler_id=world.entries[first].angler_id,
            pence=pence,
            key=uuid.uuid4(),
        )
    order_settle(world.captain, order=placed)
    assert order_state(fresh(placed)) is OrderState.SETTLED
    refused(lambda: order_bag_back(world.captain, order=placed))
    order_settle_back(world.captain, order=placed)
    refused(lambda: order_settle_back(world.captain, order=placed))
    assert order_state(fresh(placed)) is OrderState.BAGGED


@pytest.mark.parametrize("who", ["member", "rival", "weigher", "outsider"])
def test_only_the_captain_and_the_secretary_take_steps(world: Any, placed: Order, who: str) -> None:
    person, pack, shop = getattr(world, who), world.packs["caster"].pk, world.shops["hut"].pk
    version = placed.placed
    assert version is not None
    for step in (
        lambda: change_accept(person, order=placed, version=version),
        lambda: change_take_back(person, order=placed, version=version),
        lambda: order_receive(person, order=placed, version=version, lines={}),
        lambda: order_receive_back(person, order=placed),
        lambda: order_bag(person, order=placed),
        lambda: order_bag_back(person, order=placed),
        lambda: order_settle(person, order=placed),
        lambda: order_settle_back(person, order=placed),
        lambda: sold_out_mark(person, order=placed, pack_id=pack),
        lambda: sold_out_unmark(person, order=placed, pack_id=pack),
        lambda: shop_leave_out(person, order=placed, shop_id=shop),
        lambda: shop_back(person, order=placed, shop_id=shop),
    ):
        refused(step, code=Code.NOT_ALLOWED)
    assert order_state(fresh(placed)) is OrderState.PLACED


def test_the_steps_say_where_the_order_stands(world: Any, placed: Order) -> None:
    steps = order_steps(fresh(placed))
    assert [(s.state.value, s.reached, s.now) for s in steps] == [
        ("draft", True, False),
        ("worked_out", True, False),
        ("placed", True, True),
        ("received", False, False),
        ("bagged", False, False),
        ("settled", False, False),
    ]
    assert order_state(None) is OrderState.DRAFT


def test_a_placed_versions_own_making_is_its_step_and_a_later_one_is_named_apart(
    world: Any, placed: Order, plan_for: Any
) -> None:
    version = placed_version(placed)
    assert worked_out_later(fresh(placed)) is None
    plan_for("Maud", caster="5")
    later = worked_out(world)
    steps = {step.state: step.at for step in order_steps(fresh(placed))}
    assert steps[OrderState.WORKED_OUT] == version.made_at
    assert worked_out_later(fresh(placed)) == later
    change_accept(world.captain, order=fresh(placed), version=later)
    assert worked_out_later(fresh(placed)) is None
    steps = {step.state: step.at for step in order_steps(fresh(placed))}
    assert steps[OrderState.WORKED_OUT] == later.made_at
    order_withdraw(world.captain, order=fresh(placed), version=later)
    assert worked_out_later(fresh(placed)) is None


def test_a_shops_cut_off_is_at_the_venues_clock(world: Any) -> None:
    shop = Shop(lead_days=2, cut_off=dt.time(17))
    world.venue.timezone = "Europe/London"
    world.match.venue = world.venue
    world.match.date = dt.date(2026, 6, 20)
    assert cut_off_at(shop, match=world.match).astimezone(dt.UTC) == dt.datetime(
        2026, 6, 18, 16, tzinfo=dt.UTC
    )
    world.match.date = dt.date(2026, 3, 30)  # the clocks change on the 29th
    shop.lead_days = 2
    assert cut_off_at(shop, match=world.match).astimezone(dt.UTC) == dt.datetime(
        2026, 3, 28, 17, tzinfo=dt.UTC
    )


def test_a_cut_off_of_a_venue_whose_zone_nobody_knows_is_in_utc(world: Any) -> None:
    world.venue.timezone = "Wend/Otterbeck"
    world.match.venue, world.match.date = world.venue, dt.date(2026, 6, 20)
    shop = Shop(lead_days=2, cut_off=dt.time(17))
    assert cut_off_at(shop, match=world.match) == dt.datetime(2026, 6, 18, 17, tzinfo=dt.UTC)
