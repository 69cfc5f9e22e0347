"""Bags of a placed order, and what was ticked into them."""

from __future__ import annotations

import datetime as dt
import uuid
from decimal import Decimal
from fractions import Fraction
from typing import Any

import pytest
from django.utils import timezone

from bait.models import BagTick, Bait, BaitKind, LarderLot, Order, Pack, ReceivedLine
from bait.reads.bags import OrderBags, bags_of
from bait.reads.order_shown import BaitLeft, version_shown
from bait.reads.statement import statement_of
from bait.writes.bags import bag_tick, bag_untick
from bait.writes.larder import lot_bring
from bait.writes.order_life import change_accept, order_bag, order_receive
from bait.writes.order_marks import sold_out_mark
from matches.problems import Code, Problem
from tests.ordered import placed, worked_out

pytestmark = pytest.mark.usefixtures("alders_plans")


def bags(order: Order) -> OrderBags:
    found = bags_of(Order.objects.select_related("placed", "team__club", "match").get(pk=order.pk))
    assert found is not None
    return found


def said(found: OrderBags) -> list[tuple[str, list[tuple[str, int, Fraction]]]]:
    return [
        (bag.angler.name, [(item.key, item.whole, item.part) for item in bag.items])
        for bag in found.bags
    ]


def test_ten_packs_become_two_bags_and_what_is_left(world: Any) -> None:
    order = placed(world)
    pack = f"pack-{world.packs['caster'].pk}"
    found = bags(order)
    assert said(found) == [
        ("Maud Ferris", [(f"{pack}:2.5 pint", 2, Fraction(1, 2))]),
        ("Wilmot Crane", [(f"{pack}:7 pint", 7, Fraction(0))]),
    ]
    assert [(left.whole, left.amount) for left in found.left_over] == [(0, Fraction(1, 2))]
    assert [(len(s.gives), s.left) for s in found.splits] == [(1, Fraction(1, 2))]


def test_what_is_left_is_said_in_the_baits_own_unit_on_both_pages(
    world: Any, plan_for: Any
) -> None:
    """Three litres asked, sold by the kilogram, which is two: a litre is left, not half a kilo."""
    mix = Bait.objects.create(
        club=world.club,
        key="mix",
        name="Mix",
        kind=BaitKind.GROUNDBAIT,
        unit="L",
        bulk_density_kg_per_l=Decimal("0.5"),
    )
    Pack.objects.create(
        shop=world.packs["caster"].shop, bait=mix, key="mix", amount=1, unit="kg", price_pence=500
    )
    plan_for("Maud", mix="1.5", unit="kg")
    order = placed(world)
    (left,) = [left for left in bags(order).left_over if left.source.bait == mix]
    assert (left.whole, left.amount, left.unit) == (0, 1, "L")
    version = order.placed
    assert version is not None
    shown = version_shown(version).left_over
    assert BaitLeft("Mix", Fraction(1), "L") in shown


def test_a_lot_of_the_larder_is_handed_out_too(world: Any) -> None:
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
    order = placed(world)
    found = bags(order)
    lots = [i for bag in found.bags for i in bag.items if i.source.lot]
    assert [(i.key, i.amount, i.use_by) for i in lots] == [
        (f"lot-{lot.pk}:1 pint", 1, world.match.date + dt.timedelta(days=6))
    ]
    assert sum(i.amount for bag in found.bags for i in bag.items) == Fraction("9.5")
    order_receive(world.captain, order=order, version=order.placed, lines={})
    order_bag(world.captain, order=order)
    assert [said(bags(order)), LarderLot.objects.get().amount] == [said(found), 0]


def test_a_short_pack_is_missed_in_proportion_and_named(world: Any) -> None:
    order = placed(world)
    ReceivedLine.objects.create(order=order, pack=world.packs["caster"], packs=8)
    Order.objects.filter(pk=order.pk).update(received_at=timezone.now())
    found = bags(order)
    assert [[(b.key, amount) for b, amount in bag.lacking] for bag in found.bags] == [
        [("caster", Fraction(15, 38))],
        [("caster", Fraction(21, 19))],
    ]
    assert found.left_over == ()


def test_nothing_at_all_came(world: Any) -> None:
    order = placed(world)
    ReceivedLine.objects.create(order=order, pack=world.packs["caster"], packs=0)
    Order.objects.filter(pk=order.pk).update(received_at=timezone.now())
    found = bags(order)
    assert [bag.items for bag in found.bags] == [(), ()]
    assert [amount for bag in found.bags for _bait, amount in bag.lacking] == [Fraction("2.5"), 7]


def test_a_tick_stays_who_ever_ticks_again(world: Any) -> None:
    order = placed(world)
    bag = bags(order).bags[0]
    keys = [bag.items[0].key]
    for person in (world.captain, world.secretary):
        bag_tick(person, order=order, angler_id=bag.angler.pk, keys=keys)
    tick = BagTick.objects.get()
    assert tick.ticked_by == world.captain
    assert [b.packed for b in bags(order).bags] == [True, False]
    for _again in range(2):
        bag_untick(world.captain, order=order, angler_id=bag.angler.pk, key=keys[0])
    assert bags(order).ticked == 0


def test_a_thing_of_another_amount_is_not_ticked(world: Any) -> None:
    order = placed(world)
    bag = bags(order).bags[0]
    keys = [bag.items[0].key, f"pack-{world.packs['caster'].pk}:3 pint"]
    with pytest.raises(Problem) as problem:
        bag_tick(world.captain, order=order, angler_id=bag.angler.pk, keys=keys)
    assert problem.value.code is Code.CONFLICT
    assert not BagTick.objects.exists()


def test_a_tick_ends_where_the_amount_changes(world: Any) -> None:
    order = placed(world)
    bag = bags(order).bags[0]
    bag_tick(world.captain, order=order, angler_id=bag.angler.pk, keys=[bag.items[0].key])
    ReceivedLine.objects.create(order=order, pack=world.packs["caster"], packs=8)
    Order.objects.filter(pk=order.pk).update(received_at=timezone.now())
    assert bags(order).ticked == 0


@pytest.mark.parametrize("who", ["member", "rival", "weigher", "outsider"])
def test_only_who_orders_for_the_team_packs_its_bags(world: Any, who: str) -> None:
    order = placed(world)
    bag = bags(order).bags[0]
    person = getattr(world, who)
    for act in (
        lambda: bag_tick(person, order=order, angler_id=bag.angler.pk, keys=[bag.items[0].key]),
        lambda: bag_untick(person, order=order, angler_id=bag.angler.pk, key=bag.items[0].key),
    ):
        with pytest.raises(Problem) as problem:
            act()
        assert problem.value.code is Code.NOT_ALLOWED
    assert not BagTick.objects.exists()


def test_a_stranger_has_no_bag(world: Any) -> None:
    order = placed(world)
    stranger = world.entries["Odette"].angler_id
    with pytest.raises(Problem) as problem:
        bag_tick(world.captain, order=order, angler_id=stranger, keys=["pack-1:1 pint"])
    assert problem.value.code is Code.NOT_FOUND


def test_queries_do_not_grow(world: Any, django_assert_max_num_queries: Any) -> None:
    order = placed(world)
    held = Order.objects.select_related("placed", "team__club", "match").get(pk=order.pk)
    with django_assert_max_num_queries(4):
        bags_of(held)


def test_what_was_bought_and_is_wanted_no_more_is_borne_by_all_and_left_over(
    world: Any, plan_for: Any
) -> None:
    plan_for("Wilmot", caster="7", hemp="2")
    order = placed(world)
    plan_for("Wilmot", caster="7")
    late = worked_out(world)
    order = change_accept(world.captain, order=order, version=late)
    found = bags(order)
    hemp = world.packs["hemp"].pk
    assert [(left.source.key, left.whole, left.amount) for left in found.left_over] == [
        (f"pack-{world.packs['caster'].pk}", 0, Fraction(1, 2)),
        (f"pack-{hemp}", 2, Fraction(2)),
    ]
    assert {item.source.bait.key for bag in found.bags for item in bag.items} == {"caster"}
    statements = [statement_of(world.entries[first]) for first in ("Maud", "Wilmot")]
    rows = [row for s in statements if s for row in s.baits if row.name == "Hemp"]
    assert [(row.asked, row.unit, row.pence) for row in rows] == [("", "", 150), ("", "", 150)]
    for statement in statements:
        assert statement is not None
        parts = [row.pence for row in (*statement.baits, *statement.delivery)]
        assert sum(parts) + statement.moved == statement.due
    assert sum(s.due for s in statements if s) == late.total_pence


def test_what_is_sold_out_is_bagged_as_what_comes_instead(world: Any, plan_for: Any) -> None:
    order = placed(world)
    sold_out_mark(world.captain, order=order, pack_id=world.packs["caster"].pk, packs=8)
    late = worked_out(world)
    order = change_accept(world.captain, order=order, version=late)
    found = bags(order)
    assert sum(i.whole for bag in found.bags for i in bag.items) <= 8
    lacking = sum(amount for bag in found.bags for _bait, amount in bag.lacking)
    assert lacking == Fraction("1.5")
