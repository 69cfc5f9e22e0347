"""What goes into a team's order, and what changes its digest."""

from __future__ import annotations

import datetime as dt
import uuid
from decimal import Decimal
from typing import Any

import pytest

from bait.models import Bait, Order, Pack, PackBreak, Shop
from bait.reads.order_inputs import inputs_digest, order_inputs
from bait.reckon.order import order_parse
from bait.writes.larder import lot_throw
from matches.reckon.errors import BadInput
from tests.bait.conftest import lot_in as lot


@pytest.fixture
def order(world: Any, alders_plans: None) -> Order:
    return Order.objects.create(team=world.alders, match=world.match)


def angler_id(world: Any, first: str) -> str:
    return str(world.entries[first].angler_id)


def test_the_request_holds_the_plans_with_spare_and_the_price_list(
    world: Any, order: Order, plan_for: Any
) -> None:
    plan_for("Wilmot", caster="7", spare=10)
    lot(world)
    assert order_inputs(order).request == {
        "currency": "GBP",
        "demands": [
            {"member": angler_id(world, "Maud"), "bait": "caster", "amount": "2.5", "unit": "pint"},
            {
                "member": angler_id(world, "Wilmot"),
                "bait": "caster",
                "amount": "7.7",
                "unit": "pint",
            },
        ],
        "stock": [{"bait": "caster", "amount": "1", "unit": "pint", "member": None}],
        "suppliers": [
            {
                "id": "hut",
                "delivery_fee": "0.00",
                "minimum_spend": "0.00",
                "free_delivery_from": None,
            }
        ],
        "packs": [
            {
                "id": str(world.packs["caster"].pk),
                "supplier": "hut",
                "bait": "caster",
                "amount": "1",
                "unit": "pint",
                "price": "4.20",
                "breaks": [{"from_packs": 10, "price": "3.80"}],
                "max_packs": None,
            }
        ],
        "baits": [],
    }


def test_the_calculator_can_read_it(world: Any, order: Order, plan_for: Any) -> None:
    Bait.objects.filter(key="hemp").update(bulk_density_kg_per_l=Decimal("0.7"))
    plan_for("Wilmot", caster="7", hemp="1.3333")
    lot(world)
    request = order_parse(order_inputs(order).request)
    assert (len(request.demands), len(request.stock), len(request.packs)) == (3, 1, 2)


def test_only_stock_still_good_on_the_day_counts(world: Any, order: Order) -> None:
    day = world.match.date
    lot(world, amount=2, use_by=day)
    lot(world, amount=3, use_by=day - dt.timedelta(days=1))
    gone = lot(world, amount=1)
    lot_throw(world.captain, lot=gone, amount=Decimal(1), key=uuid.uuid4())
    lot(world, amount=5, team=world.teals)
    lot(world, amount=6, bait=world.baits["hemp"])  # nobody plans hemp
    lot(world, amount=4, angler=world.entries["Wilmot"].angler)
    lot(world, amount=7, angler=world.entries["Odette"].angler)  # has no plan with the Alders
    assert [(row["amount"], row["member"]) for row in order_inputs(order).request["stock"]] == [
        ("2", None),
        ("4", angler_id(world, "Wilmot")),
    ]


def test_retired_packs_and_shops_sell_nothing(world: Any, order: Order) -> None:
    gone = Shop.objects.create(club=world.club, key="gone", name="Reel & Riddle", retired=True)
    for shop, retired, amount in [(gone, False, 1), (world.shops["hut"], True, 2)]:
        Pack.objects.create(
            shop=shop,
            bait=world.baits["caster"],
            key=f"{shop.key}-{amount}",
            amount=amount,
            unit="pint",
            price_pence=1,
            retired=retired,
        )
    request = order_inputs(order).request
    assert [pack["price"] for pack in request["packs"]] == ["4.20"]
    assert [shop["id"] for shop in request["suppliers"]] == ["hut"]


def test_those_who_do_not_fish_and_other_teams_are_left_out(
    world: Any, order: Order, plan_for: Any
) -> None:
    plan_for("Odette", caster="3")
    world.entries["Maud"].status = "absent"
    world.entries["Maud"].save()
    assert [row["member"] for row in order_inputs(order).request["demands"]] == [
        angler_id(world, "Wilmot")
    ]


def test_the_digest_follows_what_bears_on_the_order_and_nothing_else(
    world: Any, order: Order, plan_for: Any
) -> None:
    seen = [order_inputs(order).digest]

    def changed() -> bool:
        seen.append(order_inputs(order).digest)
        return seen[-1] != seen[-2]

    plan_for("Wilmot", caster="7")  # saved anew, the same
    assert not changed()
    plan_for("Odette", caster="3")
    assert not changed()
    Pack.objects.filter(key="hemp-pint").update(price_pence=900)
    assert not changed()
    plan_for("Wilmot", caster="7.5")
    assert changed()
    PackBreak.objects.update(price_pence=390)
    assert changed()
    Shop.objects.update(delivery_fee_pence=400)
    assert changed()
    kept = lot(world)
    assert changed()
    Shop.objects.update(delivery_fee_pence=0)
    PackBreak.objects.update(price_pence=380)
    lot_throw(world.captain, lot=kept, amount=Decimal(1), key=uuid.uuid4())
    plan_for("Wilmot", caster="7")
    assert changed()
    assert seen[-1] == seen[0]


def test_the_digest_is_of_canonical_json() -> None:
    # SHA-256 of {"a":["é"],"b":1} in UTF-8, with sha256sum.
    assert inputs_digest({"b": 1, "a": ["é"]}) == (
        "cde3c54c1d323a37b399fbf0246d2a68a66d3f4c8b57844aaab17ee6cddfdc07"
    )


def test_a_plan_that_no_longer_adds_up_names_its_member(world: Any, order: Order) -> None:
    Bait.objects.filter(key="caster").update(unit="kg")
    with pytest.raises(BadInput) as refused:
        order_inputs(order)
    assert [fault.message.split(":")[0] for fault in refused.value.faults] == [
        "Maud Ferris",
        "Wilmot Crane",
    ]


def test_queries_do_not_grow_with_the_team_or_the_price_list(
    world: Any, order: Order, plan_for: Any, django_assert_max_num_queries: Any
) -> None:
    from matches.models import Angler, Entry

    with django_assert_max_num_queries(12):
        order_inputs(order)
    for n in range(12):
        angler = Angler.objects.create(club=world.club, name=f"Angler {n}")
        world.entries[f"A{n}"] = Entry.objects.create(
            match=world.match, angler=angler, team=world.alders
        )
        plan_for(f"A{n}", caster="2", hemp="1")
        Pack.objects.create(
            shop=world.shops["hut"],
            bait=world.baits["hemp"],
            key=f"hemp-{n}",
            amount=n + 2,
            unit="pint",
            price_pence=100,
        )
    fresh = Order.objects.select_related("match", "team__club").get(pk=order.pk)
    with django_assert_max_num_queries(12):
        order_inputs(fresh)
