"""Two who pack at once, and two captains who note the same payment."""

from __future__ import annotations

import uuid
from typing import Any

import pytest

from bait.models import BagTick, Order, PaidBack, ShopPayment
from bait.reads.bags import bags_of
from bait.reads.kitty import kitty_even
from bait.writes.bags import bag_tick
from bait.writes.kitty import pay_back, shop_pay
from matches.problems import Code
from tests.ordered import placed, planned
from tests.races.conftest import answered

pytestmark = pytest.mark.django_db(transaction=True)

AT_ONCE = 8


def order_placed(world: Any) -> Order:
    for first in ("Maud", "Wilmot"):
        planned(world, first, caster="2.5", hemp="2.5")
    return placed(world)


def fresh(order: Order) -> Order:
    return Order.objects.select_related("placed", "match", "team__club").get(pk=order.pk)


def test_eight_who_tick_the_same_thing_make_one_tick_and_nobody_is_refused(
    shared_world: Any, together: Any
) -> None:
    world, order = shared_world, order_placed(shared_world)
    packing = bags_of(fresh(order))
    assert packing is not None
    bag = packing.bags[0]
    person = [world.captain, world.secretary]

    def tick(n: int) -> Any:
        key = bag.items[0].key
        return bag_tick(person[n % 2], order=fresh(order), angler_id=bag.angler.pk, keys=[key])

    answers = together([lambda n=n: tick(n) for n in range(AT_ONCE)])
    assert len({ticks[0].pk for ticks in answers}) == 1
    assert BagTick.objects.count() == 1


def test_two_who_tick_different_things_lose_none_of_each_others(
    shared_world: Any, together: Any
) -> None:
    world, order = shared_world, order_placed(shared_world)
    packing = bags_of(fresh(order))
    assert packing is not None
    things = [(bag.angler.pk, item.key) for bag in packing.bags for item in bag.items]
    assert len(things) == 4
    together(
        [
            lambda who=who, key=key: bag_tick(
                world.captain, order=fresh(order), angler_id=who, keys=[key]
            )
            for who, key in things * 2
        ]
    )
    assert BagTick.objects.count() == 4
    packed = bags_of(fresh(order))
    assert packed is not None and packed.packed


def test_eight_captains_who_note_the_same_payment_note_one(
    shared_world: Any, together: Any
) -> None:
    world, order = shared_world, order_placed(shared_world)
    assert order.placed is not None
    total, maud = order.placed.total_pence, world.entries["Maud"].angler_id

    def pay() -> Any:
        return shop_pay(
            world.captain,
            order=fresh(order),
            shop_id=world.shops["hut"].pk,
            angler_id=maud,
            pence=total,
            key=uuid.uuid4(),
        ).pence  # type: ignore[union-attr]

    answers = together([answered(pay)] * AT_ONCE)
    assert sorted(answers, key=str) == [total, *[Code.CONFLICT] * (AT_ONCE - 1)]
    assert ShopPayment.objects.count() == 1


def test_one_tap_sent_eight_times_pays_back_once(shared_world: Any, together: Any) -> None:
    world, order = shared_world, order_placed(shared_world)
    assert order.placed is not None
    maud, wilmot = (world.entries[first].angler_id for first in ("Maud", "Wilmot"))
    total, shop = order.placed.total_pence, world.shops["hut"].pk
    shop_pay(
        world.captain, order=order, shop_id=shop, angler_id=maud, pence=total, key=uuid.uuid4()
    )
    key = uuid.uuid4()

    def back() -> Any:
        paid = pay_back(
            world.captain,
            order=fresh(order),
            payer_id=wilmot,
            payee_id=maud,
            pence=total // 2,
            key=key,
        )
        return paid and paid.pk

    answers = together([back] * AT_ONCE)
    assert len(set(answers)) == 1
    assert PaidBack.objects.count() == 1
    assert kitty_even(fresh(order))
