"""What is marked of an order: packs sold out, shops left out, and what comes instead."""

from __future__ import annotations

from typing import Any

import pytest

from bait.models import (
    Order,
    Pack,
    PlanSubstitute,
    Shop,
    ShopLeftOut,
    SoldOut,
)
from bait.reads.order_inputs import is_stale
from bait.writes.order_life import (
    change_accept,
    change_take_back,
)
from bait.writes.order_marks import shop_back, shop_leave_out, sold_out_mark, sold_out_unmark
from matches.problems import Code
from matches.reckon.errors import BadInput
from tests.bait.orders_placed import fresh, made, packs_of, refused
from tests.ordered import worked_out

pytestmark = pytest.mark.usefixtures("alders_plans")


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
    version = worked_out(world)
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
