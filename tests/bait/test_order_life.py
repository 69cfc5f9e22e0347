"""An order from placed to settled: late changes, sold-out packs, shorts, and the ways back."""

from __future__ import annotations

import datetime as dt
import uuid
from collections.abc import Callable
from decimal import Decimal
from typing import Any

import pytest

from bait.models import (
    Bait,
    BaitKind,
    LarderLot,
    Order,
    OrderVersion,
    Pack,
    PlanSubstitute,
    ReceivedLine,
    Shop,
    ShopLeftOut,
    SoldOut,
)
from bait.reads.order_changes import OrderChanges, order_changes
from bait.reads.order_inputs import is_stale, order_inputs
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
from bait.writes.orders import order_place, order_version_make, order_withdraw
from matches.models import AuditEntry, WorkRequest, WorkState
from matches.problems import Code, Problem
from matches.reckon.errors import BadInput
from tests.bait.conftest import ask_and_make

pytestmark = pytest.mark.usefixtures("alders_plans")

Packs = dict[str, int]


@pytest.fixture
def reel(world: Any) -> Shop:
    """A second shop: caster at 4.50 a pint, and pinkie at 3.00."""
    shop = Shop.objects.create(club=world.club, key="reel", name="Reel & Riddle", lead_days=2)
    pinkie = Bait.objects.create(
        club=world.club, key="pinkie", name="Pinkie", kind=BaitKind.ANIMAL, unit="pint"
    )
    world.baits["pinkie"] = pinkie
    for bait, price in ((world.baits["caster"], 450), (pinkie, 300)):
        world.packs[f"reel-{bait.key}"] = Pack.objects.create(
            shop=shop, bait=bait, key=bait.key, amount=1, unit="pint", price_pence=price
        )
    return shop


@pytest.fixture
def placed(world: Any, reel: Shop) -> Order:
    """2.5 and 7 pints of caster: ten packs at 3.80 from the Hut, 38.00, placed."""
    version = ask_and_make(world)
    assert packs_of(version) == {"hut caster": 10}
    return order_place(world.captain, order=version.order, version=version)


def packs_of(version: OrderVersion) -> Packs:
    lines = version.lines.select_related("pack__shop", "pack__bait")
    return {f"{x.pack.shop.key} {x.pack.bait.key}": x.packs for x in lines}


def fresh(order: Order) -> Order:
    return Order.objects.select_related("match__venue", "team__club", "placed", "current").get(
        pk=order.pk
    )


def made(order: Order) -> OrderVersion:
    """What a worker makes of the work that waits for this order."""
    work = WorkRequest.objects.get(key=str(order.pk), state=WorkState.WAITING)
    version = order_version_make(work.pk)
    assert version is not None
    return version


def changes(order: Order, after: OrderVersion) -> OrderChanges:
    before = fresh(order).placed
    assert before is not None
    return order_changes(before, after)


def placed_version(order: Order) -> OrderVersion:
    version = fresh(order).placed
    assert version is not None
    return version


def refused(what: Callable[[], object], *, code: Code = Code.CONFLICT) -> None:
    with pytest.raises(Problem) as caught:
        what()
    assert caught.value.code is code


def test_a_placed_order_that_still_fits_is_not_stale_and_makes_no_new_version(
    world: Any, placed: Order
) -> None:
    version = fresh(placed).placed
    assert version is not None and not is_stale(fresh(placed), version=version)
    assert ask_and_make(world) == version
    assert OrderVersion.objects.count() == 1


def test_a_late_plan_is_added_to_what_is_bought_and_its_cost_told_before_it_is_accepted(
    world: Any, placed: Order, plan_for: Any
) -> None:
    plan_for("Maud", caster="4")  # 11 pints now: one pack more at 3.80
    assert is_stale(fresh(placed), version=placed_version(placed))
    later = ask_and_make(world)
    assert (packs_of(later), later.total_pence, later.answer["changes"]) == (
        {"hut caster": 11},
        4180,
        1,
    )
    told = changes(placed, later)
    line = told.lines[0]
    assert (line.packs_before, line.packs_after, line.cost.more) == (10, 11, 380)
    assert (told.total.more, told.deliveries) == (380, ())
    assert {m.angler.name: (m.due.before, m.due.after) for m in told.members} == {
        "Maud Ferris": (1000, 1520),
        "Wilmot Crane": (2800, 2660),
    }
    assert sum(m.due.more for m in told.members) == told.total.more
    assert fresh(placed).placed_id != later.pk  # nothing is accepted yet
    accepted = change_accept(world.captain, order=placed, version=later)
    assert accepted.placed_id == later.pk
    assert not is_stale(fresh(placed), version=later)
    assert AuditEntry.objects.get(verb="order.change_accepted").detail == {"from": 1, "version": 2}


def test_what_is_dropped_late_stays_bought_and_is_left_over(
    world: Any, placed: Order, plan_for: Any
) -> None:
    plan_for("Wilmot", hemp="2")
    later = ask_and_make(world)
    assert packs_of(later) == {"hut caster": 10, "hut hemp": 2}
    assert later.answer["left_over"] == [{"bait": "caster", "amount": "7.5", "unit": "pint"}]
    change_accept(world.captain, order=placed, version=later)
    assert not is_stale(fresh(placed), version=later)


def test_a_bait_nobody_plans_any_more_stays_bought_with_its_retired_shop(
    world: Any, placed: Order, plan_for: Any
) -> None:
    plan_for("Maud", hemp="1")
    plan_for("Wilmot", hemp="2")
    world.shops["hut"].retired = True
    world.shops["hut"].save()
    later = ask_and_make(world)
    assert packs_of(later) == {"hut caster": 10}
    assert [row["bait"] for row in later.answer["short"]] == ["hemp"]


def test_a_price_that_rose_since_does_not_change_what_was_agreed(
    world: Any, placed: Order, plan_for: Any
) -> None:
    world.packs["caster"].breaks.all().delete()
    Pack.objects.filter(pk=world.packs["caster"].pk).update(price_pence=900)
    assert not is_stale(fresh(placed), version=placed_version(placed))
    plan_for("Maud", caster="4")
    assert ask_and_make(world).total_pence == 11 * 380


def test_an_accepted_change_can_be_taken_back_until_the_bait_comes(
    world: Any, placed: Order, plan_for: Any
) -> None:
    first = fresh(placed).placed
    assert first is not None
    refused(lambda: change_take_back(world.captain, order=placed, version=first))
    plan_for("Maud", caster="4")
    later = ask_and_make(world)
    change_accept(world.captain, order=placed, version=later)
    refused(lambda: change_accept(world.captain, order=placed, version=later))
    assert change_take_back(world.captain, order=placed, version=later).placed_id == first.pk
    change_accept(world.captain, order=placed, version=later)
    order_receive(world.captain, order=placed, version=later, lines={})
    refused(lambda: change_take_back(world.captain, order=placed, version=later))


def test_a_change_that_no_longer_fits_the_plans_is_not_accepted(
    world: Any, placed: Order, plan_for: Any
) -> None:
    plan_for("Maud", caster="4")
    later = ask_and_make(world)
    plan_for("Maud", caster="5")
    refused(lambda: change_accept(world.captain, order=placed, version=later))
    assert fresh(placed).placed_id == placed.placed_id


def test_two_captains_accepting_different_changes_leave_one_of_them(
    world: Any, placed: Order, plan_for: Any
) -> None:
    plan_for("Maud", caster="4")
    second = ask_and_make(world)
    plan_for("Maud", caster="5")
    third = ask_and_make(world)
    change_accept(world.captain, order=placed, version=third)
    refused(lambda: change_accept(world.secretary, order=placed, version=second))
    assert fresh(placed).placed_id == third.pk


def test_a_sold_out_pack_is_bought_elsewhere_and_what_is_bought_stays(
    world: Any, placed: Order
) -> None:
    pack = world.packs["caster"]
    sold_out_mark(world.captain, order=placed, pack_id=pack.pk, packs=6)
    later = made(placed)
    # Six of the Hut's are to be had, at 4.20 (the break is from ten), and four come dearer.
    assert (packs_of(later), later.total_pence) == (
        {"hut caster": 6, "reel caster": 4},
        6 * 420 + 4 * 450,
    )
    change_accept(world.captain, order=placed, version=later)
    assert not is_stale(fresh(placed), version=later)
    change_take_back(world.captain, order=placed, version=later)
    sold_out_unmark(world.captain, order=placed, pack_id=pack.pk)
    assert not SoldOut.objects.exists()
    assert made(placed) == fresh(placed).placed


def test_where_nothing_else_covers_it_members_get_what_they_take_instead(
    world: Any, placed: Order
) -> None:
    plan = world.entries["Wilmot"].plan
    PlanSubstitute.objects.create(
        plan=plan, bait=world.baits["caster"], instead=world.baits["pinkie"]
    )
    Pack.objects.filter(pk=world.packs["reel-caster"].pk).update(retired=True)
    sold_out_mark(world.captain, order=placed, pack_id=world.packs["caster"].pk, packs=6)
    later = made(placed)
    wilmot = str(world.entries["Wilmot"].angler_id)
    assert later.answer["instead"] == [
        {
            "member": wilmot,
            "bait": "caster",
            "amount": "3.5",
            "unit": "pint",
            "instead": "pinkie",
            "instead_amount": "3.5",
            "instead_unit": "pint",
        }
    ]
    assert (later.status, packs_of(later)) == ("optimal", {"hut caster": 6, "reel pinkie": 4})
    assert [(d["member"] == wilmot, d["bait"], d["amount"]) for d in later.inputs["demands"]] == [
        (False, "caster", "2.5"),
        (True, "caster", "3.5"),
        (True, "pinkie", "3.5"),
    ]


def test_what_nobody_takes_another_bait_for_is_said_to_be_short(world: Any, placed: Order) -> None:
    Pack.objects.filter(pk=world.packs["reel-caster"].pk).update(retired=True)
    sold_out_mark(world.captain, order=placed, pack_id=world.packs["caster"].pk, packs=6)
    later = made(placed)
    assert (later.status, later.answer["short"][0]["amount"]) == ("short", "3.5")
    assert "instead" not in later.answer


def test_a_shop_left_out_keeps_what_is_bought_there_and_sells_nothing_more(
    world: Any, placed: Order, plan_for: Any
) -> None:
    shop_leave_out(world.captain, order=placed, shop_id=world.shops["hut"].pk)
    plan_for("Maud", caster="4")
    later = made(placed)
    assert packs_of(later) == {"hut caster": 10, "reel caster": 1}
    shop_back(world.captain, order=placed, shop_id=world.shops["hut"].pk)
    assert not ShopLeftOut.objects.exists()
    assert packs_of(made(placed)) == {"hut caster": 11}


def test_before_it_is_placed_a_shop_left_out_sells_nothing(world: Any, reel: Shop) -> None:
    version = ask_and_make(world)
    shop_leave_out(world.captain, order=version.order, shop_id=world.shops["hut"].pk)
    assert packs_of(made(version.order)) == {"reel caster": 10}


@pytest.mark.parametrize("packs", [-1, 10_001])
def test_a_count_that_is_none_is_not_marked(world: Any, placed: Order, packs: int) -> None:
    with pytest.raises(BadInput):
        sold_out_mark(world.captain, order=placed, pack_id=world.packs["caster"].pk, packs=packs)
    assert not SoldOut.objects.exists()


def test_another_clubs_pack_or_shop_is_not_marked(world: Any, placed: Order) -> None:
    shop = Shop.objects.create(club=world.other_club, key="far", name="Far Counter")
    refused(
        lambda: shop_leave_out(world.captain, order=placed, shop_id=shop.pk), code=Code.NOT_FOUND
    )
    refused(lambda: sold_out_mark(world.captain, order=placed, pack_id=10**9), code=Code.NOT_FOUND)


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
    later = ask_and_make(world)
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
    version = ask_and_make(world)
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
    later = ask_and_make(world)
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


def test_the_inputs_of_a_placed_order_take_few_queries(
    world: Any, placed: Order, django_assert_max_num_queries: Any
) -> None:
    order = fresh(placed)
    with django_assert_max_num_queries(13):
        order_inputs(order)
