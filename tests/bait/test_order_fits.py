"""A page tells at every look whether an order still fits, whatever was changed."""

from __future__ import annotations

import datetime as dt
import re
import uuid
from collections.abc import Callable
from dataclasses import replace
from decimal import Decimal
from typing import Any

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext

from bait.models import BaitKind, LarderLot, Order, Pack, Shop
from bait.reads.larder_takes import lots_taken
from bait.reads.order_bill import order_bill
from bait.reads.order_inputs import is_stale, order_inputs
from bait.reads.orders import orders_seen
from bait.reckon.price_rows import PackPrices
from bait.writes.baits import FACTS, bait_change
from bait.writes.larder import lot_bring, lot_throw
from bait.writes.order_life import order_receive
from bait.writes.order_marks import shop_leave_out, sold_out_mark
from bait.writes.orders import order_place, order_withdraw
from bait.writes.packs import pack_prices_change
from bait.writes.plan_content import plan_content_parse
from bait.writes.plans import plan_save
from bait.writes.shop_content import BaitContent, ShopTerms
from bait.writes.shops import TERMS, shop_change
from bait.writes.throw_sizes import throw_measure
from matches.writes.entries import entry_status_set
from tests.bait.conftest import lot_in
from tests.big_club import big_club_make, plan_raw
from tests.ordered import worked_out


@pytest.fixture
def club(db: None) -> Any:
    """Three members' plans with a mix, throws and a substitute, a larder, and a placed order."""
    return big_club_make(members=3, matches=2)


def seen(world: Any) -> Order:
    """The order as a page has it."""
    return orders_seen().get(team=world.alders, match=world.match)


def said(world: Any) -> tuple[Any, ...]:
    """What the order comes to, the lots it takes, and whether what is placed still fits."""
    order = seen(world)
    inputs = order_inputs(order)
    placed = order.placed
    return inputs.digest, inputs.takes, placed and not is_stale(order, version=placed)


def _plan(world: Any, **changes: Any) -> None:
    entry = world.entries["Wilmot"]
    entry.refresh_from_db()
    raw = {**plan_raw(balls=9, pints=3), "version": entry.plan.version, **changes}
    plan_save(world.secretary, entry=entry, content=plan_content_parse(raw))


def _other_mix(world: Any) -> None:
    (mix,) = plan_raw(balls=6, pints=1)["mixes"]
    mix["parts"][0]["amount"] = "3"
    _plan(world, mixes=[mix])


def _substitute_needed(world: Any) -> None:
    """Nobody sells maggot, so that what is taken instead counts."""
    for pack in Pack.objects.filter(bait__key="maggot"):
        sold_out_mark(world.captain, order=seen(world), pack_id=pack.pk)


def _substitutes_dropped(world: Any) -> None:
    for entry in world.match.entries.filter(team=world.alders):
        raw = {**plan_raw(balls=6, pints=1), "version": entry.plan.version, "substitutes": []}
        plan_save(world.secretary, entry=entry, content=plan_content_parse(raw))


def _shop_dearer(world: Any) -> None:
    for shop in Shop.objects.all():
        terms = ShopTerms(**{name: getattr(shop, name) for name in TERMS})
        shop_change(world.captain, shop=shop, terms=replace(terms, delivery_fee_pence=999))


def _shop_left_out(world: Any) -> None:
    shop_leave_out(world.captain, order=seen(world), shop_id=world.shops["hut"].pk)


def _prices(world: Any, **prices: Any) -> None:
    for pack in Pack.objects.filter(bait__key="maggot"):
        pack_prices_change(world.captain, pack=pack, prices=PackPrices(299, **prices))


def _bait_heavier(world: Any) -> None:
    bait = world.baits["soil"]
    content = BaitContent(**{name: getattr(bait, name) for name in FACTS})
    bait_change(
        world.captain, bait=bait, content=replace(content, bulk_density_kg_per_l=Decimal("1.3"))
    )


def _lot_thrown(world: Any) -> None:
    lot = LarderLot.objects.filter(use_by__gte=world.match.date).first()
    assert lot is not None
    lot_throw(world.captain, lot=lot, amount=Decimal("0.5"), key=uuid.uuid4())


def _throw_measured(world: Any) -> None:
    throw_measure(
        world.secretary,
        entry=world.entries["Wilmot"],
        throw="pouch",
        bait="caster",
        cup_ml=500,
        throws=5,
    )


def _entry_absent(world: Any) -> None:
    entry = world.entries["Wilmot"]
    entry_status_set(world.secretary, match=world.match, entry_id=entry.pk, status="absent")


def _withdrawn(world: Any) -> None:
    order = seen(world)
    assert order.placed is not None
    order_withdraw(world.captain, order=order, version=order.placed)


def _nothing(world: Any) -> None:
    pass


# By table that the inputs are read from: what comes before, and a write that changes what is read.
WRITES: dict[str, tuple[Callable[[Any], None], Callable[[Any], None]]] = {
    "bait_bait": (_nothing, _bait_heavier),
    "bait_larderlot": (_nothing, _lot_thrown),
    "bait_mix": (_nothing, _other_mix),
    "bait_mixpart": (_nothing, _other_mix),
    "bait_order": (_nothing, _withdrawn),
    "bait_orderversion": (_nothing, _withdrawn),
    "bait_pack": (_nothing, _prices),
    "bait_packbreak": (_nothing, lambda world: _prices(world, breaks=((10, 250),))),
    "bait_plan": (_nothing, lambda world: _plan(world, spare_percent=25)),
    "bait_plansubstitute": (_substitute_needed, _substitutes_dropped),
    "bait_shop": (_nothing, _shop_dearer),
    "bait_shopleftout": (_nothing, _shop_left_out),
    "bait_soldout": (_nothing, _substitute_needed),
    "bait_stage": (
        _nothing,
        lambda world: _plan(world, stages=plan_raw(balls=1, pints=1)["stages"]),
    ),
    "bait_stagefeed": (_nothing, _plan),
    "bait_throwsize": (_nothing, _throw_measured),
    "matches_entry": (_nothing, _entry_absent),
}
#: Changed by the site's keeper alone as far as an order goes.
KEEPERS = {"matches_angler", "matches_club", "matches_match", "matches_team", "matches_venue"}
#: Said on the page, and nothing of it goes into the order.
SHOWN = {"bait_receivedline"}


def test_every_table_an_order_is_read_from_has_a_write_here(club: Any) -> None:
    _substitute_needed(club)
    with CaptureQueriesContext(connection) as caught:
        order_inputs(seen(club))
    read = {
        table for query in caught for table in re.findall(r'(?:FROM|JOIN) "(\w+)"', query["sql"])
    }
    assert read == WRITES.keys() | KEEPERS | SHOWN


@pytest.mark.parametrize("table", WRITES)
def test_a_change_of_what_an_order_is_read_from_is_seen_at_the_next_look(
    club: Any, table: str
) -> None:
    before, write = WRITES[table]
    before(club)
    was = said(club)
    assert said(club) == was
    write(club)
    assert said(club) != was


def test_marks_are_those_of_now_also_for_an_order_that_was_read_without_them(club: Any) -> None:
    plain = Order.objects.get(pk=seen(club).pk)
    was = order_inputs(plain).digest
    _shop_left_out(club)
    assert order_inputs(plain).digest == order_inputs(seen(club)).digest != was


@pytest.mark.usefixtures("alders_plans")
def test_each_version_is_judged_by_what_is_so_now(world: Any, plan_for: Any) -> None:
    first = worked_out(world)
    plan_for("Wilmot", caster="8")
    second = worked_out(world)
    plan_for("Wilmot", caster="9")
    third = worked_out(world)
    order_place(world.captain, order=third.order, version=second)
    assert [is_stale(seen(world), version=v) for v in (first, second, third)] == [True, True, True]
    plan_for("Wilmot", caster="8")
    assert [is_stale(seen(world), version=v) for v in (first, second, third)] == [True, False, True]
    order_receive(world.captain, order=seen(world), version=second, lines={})
    assert [is_stale(seen(world), version=v) for v in (first, second)] == [True, False]


@pytest.mark.usefixtures("alders_plans")
def test_what_does_not_add_up_fits_no_version_and_takes_no_lot(world: Any) -> None:
    lot = lot_in(world)
    version = worked_out(world)
    order_place(world.captain, order=version.order, version=version)
    bill = order_bill(seen(world))
    assert bill is not None and lots_taken(seen(world), bill=bill)
    LarderLot.objects.filter(pk=lot.pk).update(unit="kg")
    assert is_stale(seen(world), version=version)
    assert lots_taken(seen(world), bill=bill) == ()


@pytest.mark.usefixtures("alders_plans")
def test_the_bags_take_another_lot_of_the_same_amount_when_the_first_is_gone(world: Any) -> None:
    """The calculator is told the same, so the version fits; what is in the bags does not."""
    lot = lot_in(world)
    version = worked_out(world)
    order_place(world.captain, order=version.order, version=version)
    other = lot_in(world)
    lot_throw(world.captain, lot=lot, amount=Decimal(1), key=uuid.uuid4())
    order = seen(world)
    assert order.placed is not None and not is_stale(order, version=order.placed)
    bill = order_bill(order)
    assert bill is not None
    assert {one.lot for one in lots_taken(order, bill=bill)} == {other}


@pytest.mark.usefixtures("alders_plans")
def test_part_of_a_lot_is_kept_to_the_last_fraction(world: Any) -> None:
    bait = world.baits["caster"]
    bait.bulk_density_kg_per_l = Decimal("0.7")
    bait.save()
    lot_bring(
        None,
        team=world.alders,
        bait=bait,
        amount=Decimal(50),
        unit="kg",
        state="fresh",
        on=dt.date(2026, 6, 1),
        use_by=dt.date(2100, 1, 1),
        key=uuid.uuid4(),
    )
    version = worked_out(world)
    order_place(world.captain, order=version.order, version=version)
    want = [take.amount for take in order_inputs(seen(world)).takes]
    order = seen(world)
    bill = order_bill(order)
    assert bill is not None and want
    assert [one.amount for one in lots_taken(order, bill=bill)] == want
    assert bait.kind == BaitKind.ANIMAL
