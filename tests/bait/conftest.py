"""Plans and orders of the invented club, made through the app's own doors."""

from __future__ import annotations

import datetime as dt
import uuid
from collections.abc import Callable
from decimal import Decimal
from functools import partial
from typing import Any

import pytest

from bait.models import Bait, BaitKind, LarderLot, Order, Pack, Shop
from bait.writes.larder import lot_bring
from bait.writes.orders import order_ask, order_place
from tests.bait.orders_placed import packs_of
from tests.ordered import planned, worked_out

PlanFor = Callable[..., Any]


@pytest.fixture
def plan_for(world: Any) -> PlanFor:
    """`plan_for("Wilmot", caster="7", spare=10)`: pints of each bait; each call saves anew."""
    return partial(planned, world)


@pytest.fixture
def alders_plans(plan_for: PlanFor) -> None:
    """The worked example: 2.5 and 7 pints of caster."""
    plan_for("Maud", caster="2.5")
    plan_for("Wilmot", caster="7")


def lot_in(world: Any, **changes: Any) -> LarderLot:
    """A pint of the Alders' caster in their larder, unless told otherwise; it keeps."""
    kept = {"team": world.alders, "bait": world.baits["caster"], "amount": 1, "unit": "pint"}
    given: dict[str, Any] = {**kept, **changes}
    day = given.pop("use_by", dt.date(2100, 1, 1))
    return lot_bring(
        None,
        state="fresh",
        on=dt.date(2026, 6, 1),
        use_by=day,
        key=uuid.uuid4(),
        **{**given, "amount": Decimal(given["amount"])},
    )


def ask(world: Any) -> Any:
    """(order, work) asked by the captain of the Alders."""
    return order_ask(world.captain, team=world.alders, match=world.match)


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
    version = worked_out(world)
    assert packs_of(version) == {"hut caster": 10}
    return order_place(world.captain, order=version.order, version=version)
