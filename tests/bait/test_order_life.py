"""A placed order when plans and prices change: late changes, accepted and taken back."""

from __future__ import annotations

from typing import Any

import pytest

from bait.models import (
    Order,
    OrderVersion,
    Pack,
)
from bait.reads.order_inputs import is_stale, order_inputs
from bait.writes.order_life import (
    change_accept,
    change_take_back,
    order_receive,
)
from matches.models import AuditEntry
from tests.bait.orders_placed import changes, fresh, packs_of, placed_version, refused
from tests.ordered import worked_out

pytestmark = pytest.mark.usefixtures("alders_plans")


def test_a_placed_order_that_still_fits_is_not_stale_and_makes_no_new_version(
    world: Any, placed: Order
) -> None:
    version = fresh(placed).placed
    assert version is not None and not is_stale(fresh(placed), version=version)
    assert worked_out(world) == version
    assert OrderVersion.objects.count() == 1


def test_a_late_plan_is_added_to_what_is_bought_and_its_cost_told_before_it_is_accepted(
    world: Any, placed: Order, plan_for: Any
) -> None:
    plan_for("Maud", caster="4")  # 11 pints now: one pack more at 3.80
    assert is_stale(fresh(placed), version=placed_version(placed))
    later = worked_out(world)
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
    later = worked_out(world)
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
    later = worked_out(world)
    assert packs_of(later) == {"hut caster": 10}
    assert [row["bait"] for row in later.answer["short"]] == ["hemp"]


def test_a_price_that_rose_since_does_not_change_what_was_agreed(
    world: Any, placed: Order, plan_for: Any
) -> None:
    world.packs["caster"].breaks.all().delete()
    Pack.objects.filter(pk=world.packs["caster"].pk).update(price_pence=900)
    assert not is_stale(fresh(placed), version=placed_version(placed))
    plan_for("Maud", caster="4")
    assert worked_out(world).total_pence == 11 * 380


def test_an_accepted_change_can_be_taken_back_until_the_bait_comes(
    world: Any, placed: Order, plan_for: Any
) -> None:
    first = fresh(placed).placed
    assert first is not None
    refused(lambda: change_take_back(world.captain, order=placed, version=first))
    plan_for("Maud", caster="4")
    later = worked_out(world)
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
    later = worked_out(world)
    plan_for("Maud", caster="5")
    refused(lambda: change_accept(world.captain, order=placed, version=later))
    assert fresh(placed).placed_id == placed.placed_id


def test_two_captains_accepting_different_changes_leave_one_of_them(
    world: Any, placed: Order, plan_for: Any
) -> None:
    plan_for("Maud", caster="4")
    second = worked_out(world)
    plan_for("Maud", caster="5")
    third = worked_out(world)
    change_accept(world.captain, order=placed, version=third)
    refused(lambda: change_accept(world.secretary, order=placed, version=second))
    assert fresh(placed).placed_id == third.pk


def test_the_inputs_of_a_placed_order_take_few_queries(
    world: Any, placed: Order, django_assert_max_num_queries: Any
) -> None:
    order = fresh(placed)
    with django_assert_max_num_queries(13):
        order_inputs(order)
