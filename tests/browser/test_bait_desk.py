"""The captain's whole work with bait on a phone: eight plans to eight labelled bags, all paid."""

from __future__ import annotations

import datetime as dt
import uuid
from decimal import Decimal
from typing import Any

from playwright.sync_api import Page, expect

from bait.models import Bait, BaitKind, LotMove, LotState, Order, Pack, Plan, Shop
from bait.reads.bags import bags_of
from bait.reads.kitty import kitty_even, kitty_of
from bait.writes.bags import bag_tick
from bait.writes.kitty import pay_back
from bait.writes.larder import lot_bring
from bait.writes.plan_content import plan_content_parse
from bait.writes.plans import plan_save
from matches.models import Angler, Entry
from tests.browser.conftest import picture_keep, sideways
from tests.browser.test_captain import work_out

MEMBERS = (
    "Dorrit Vane",
    "Hazel Quill",
    "Ingram Lowe",
    "Jessop Thorne",
    "Kester Hale",
    "Linnet Ash",
)
# Casters, maggots and hemp in pints to feed, hook maggot, and bags of groundbait with litres of
# soil. Nobody is above 2.5 L of animal bait but Wilmot.
PLANS = {
    "Maud": ("1.5", "1", "4", "0.25", "2", "3"),
    "Wilmot": ("3", "1.5", "3", "0.25", "2", "2"),
    "Dorrit Vane": ("1", "2", "3", "0.25", "1", "1"),
    "Hazel Quill": ("2", "1", "2.5", "0.5", "2", "3"),
    "Ingram Lowe": ("1.25", "1.5", "5", "0.25", "3", "4"),
    "Jessop Thorne": ("0.75", "2.5", "4", "0.25", "1", "2"),
    "Kester Hale": ("2.5", "0.5", "3.5", "0.5", "2", "2"),
    "Linnet Ash": ("1", "1", "2", "0.25", "1", "1"),
}


def shops_filled(world: Any) -> None:
    """A second shop that also has casters, dearer and by delivery, and groundbait and soil."""
    reel = Shop.objects.create(
        club=world.club,
        key="reel",
        name="Reel & Riddle",
        delivery_fee_pence=400,
        free_delivery_from_pence=20_000,
        lead_days=2,
    )
    world.shops["reel"] = reel
    for key, name, kind, unit, bag, price in [
        ("maggot", "White maggot", BaitKind.ANIMAL, "pint", None, 310),
        ("river-mix", "River groundbait, dark", BaitKind.GROUNDBAIT, "L", Decimal(2), 420),
        ("leam", "Riddled leam", BaitKind.SOIL, "L", None, 120),
    ]:
        bait = Bait.objects.create(
            club=world.club, key=key, name=name, kind=kind, unit=unit, bag_amount=bag
        )
        world.baits[key] = bait
        pack = Pack.objects.create(
            shop=reel, bait=bait, key=key, amount=bag or 1, unit=unit, price_pence=price
        )
        world.packs[key] = pack
    Pack.objects.create(
        shop=reel,
        bait=world.baits["caster"],
        key="caster-two",
        amount=2,
        unit="pint",
        price_pence=930,
    )


def plan_content(name: str, *, version: int = 0, hemp: str = "") -> dict[str, Any]:
    caster, maggot, loose_hemp, hook, bags, soil = PLANS[name]
    feeds = [("caster", caster), ("maggot", maggot), ("hemp", hemp or loose_hemp)]
    return {
        "version": version,
        "spare_percent": 10,
        "mixes": [
            {
                "name": "base",
                "parts": [
                    {"bait": "river-mix", "amount": bags, "unit": "bag", "after_rest": False},
                    {"bait": "leam", "amount": soil, "unit": "L", "after_rest": True},
                ],
            }
        ],
        "stages": [
            {
                "kind": "opening",
                "line": "long",
                "start_minute": -10,
                "end_minute": 0,
                "balls": {"count": 8, "mm": 80, "mix": "base"},
                "feeds": [{"bait": "hemp", "amount": "1", "unit": "pint"}],
            },
            {
                "kind": "feed",
                "line": "long",
                "start_minute": 0,
                "end_minute": 300,
                "feeds": [{"bait": b, "amount": a, "unit": "pint"} for b, a in feeds],
            },
            {
                "kind": "hook",
                "start_minute": 0,
                "end_minute": 300,
                "feeds": [{"bait": "maggot", "amount": hook, "unit": "pint"}],
            },
        ],
        "substitutes": [{"bait": "caster", "instead": "maggot"}],
    }


def team_planned(world: Any) -> None:
    """Eight members, each with a plan of their own, and frozen hemp in the team's larder."""
    for name in MEMBERS:
        angler = Angler.objects.create(club=world.club, team=world.alders, name=name)
        world.entries[name] = Entry.objects.create(
            match=world.match, angler=angler, team=world.alders
        )
    for name in PLANS:
        content = plan_content_parse(plan_content(name))
        plan_save(world.captain, entry=world.entries[name], content=content)
    lot_bring(
        world.captain,
        team=world.alders,
        bait=world.baits["hemp"],
        amount=Decimal(6),
        unit="pint",
        state=LotState.FROZEN,
        on=world.match.date - dt.timedelta(days=20),
        use_by=world.match.date + dt.timedelta(days=60),
        key=uuid.uuid4(),
    )


def bags_packed_but_one(world: Any) -> None:
    """Somebody else who packs at once fills every bag but the last."""
    order = Order.objects.get()
    packed = bags_of(order)
    assert packed is not None
    for bag in packed.bags[:-1]:
        keys = [item.key for item in bag.items]
        bag_tick(world.captain, order=order, angler_id=bag.angler.pk, keys=keys)


def paid_back_but_one(world: Any) -> None:
    """Somebody notes meanwhile what all but the last paid back."""
    order = Order.objects.get()
    kitty = kitty_of(order)
    assert kitty is not None
    for owed in kitty.owed[:-1]:
        pay_back(
            world.captain,
            order=order,
            payer_id=owed.payer.pk,
            payee_id=owed.payee.pk,
            pence=owed.pence,
            key=uuid.uuid4(),
        )


def seen(page: Page, name: str) -> None:
    picture_keep(page, f"bait-desk-{name}")
    assert (name, sideways(page)) == (name, 0)


def test_a_captain_takes_eight_plans_to_eight_labelled_bags_and_a_settled_kitty(
    lasting_world: Any, signed_in: Any
) -> None:
    world = lasting_world
    shops_filled(world)
    team_planned(world)
    page = signed_in("maud", 360)
    team = f"/desk/teams/{world.alders.pk}/matches/{world.match.pk}/"

    # Eight plans, one of them over a limit and flagged; one order, proved.
    page.goto(team)
    expect(page.get_by_text("Everybody has a plan.")).to_be_visible()
    expect(page.locator(".members > li")).to_have_count(8)
    expect(page.locator(".members").get_by_text("over the limit")).to_have_count(1)
    seen(page, "plans")
    page.get_by_role("button", name="Work out the order").click()
    work_out()
    expect(page.get_by_text("proved least cost")).to_be_visible()
    seen(page, "order")
    page.get_by_role("button", name="mark it placed").click()
    expect(page.get_by_text("Version 1 counts as placed.")).to_be_visible()

    # A late change: Linnet wants three pints of hemp more.
    plan = Plan.objects.get(entry=world.entries["Linnet Ash"])
    late = plan_content_parse(plan_content("Linnet Ash", version=plan.version, hemp="5"))
    plan_save(world.captain, entry=world.entries["Linnet Ash"], content=late)
    page.reload()
    page.get_by_role("button", name="Work out what the change costs").click()
    work_out()
    expect(page.get_by_role("heading", name="A late change: version 2")).to_be_visible()
    first, second = (v.total_pence for v in Order.objects.get().versions.order_by("number"))
    # 38.5 pints with spare, 6 of them frozen, are 33 packs; 41.8 are 36.
    assert second - first == 3 * 150
    seen(page, "late-change")
    page.get_by_role("button", name="accept the change").click()
    expect(page.get_by_role("heading", name="Version 2")).to_be_visible()

    # The hut has no more than six pints of caster: the rest is worked out again.
    hut = page.locator("section.shop", has=page.get_by_role("heading", name="Hobday's Hut"))
    hut.get_by_text("Sold out, or only some left?").click()
    hut.get_by_label("What is sold out").select_option(label="Caster, 1 pint")
    hut.get_by_label("Packs you still get").fill("6")
    hut.get_by_role("button", name="Mark it and work out the rest again").click()
    work_out()
    expect(page.get_by_role("heading", name="A late change: version 3")).to_be_visible()
    seen(page, "sold-out")
    page.get_by_role("button", name="accept the change").click()
    third = Order.objects.get().placed
    assert third is not None and third.number == 3
    bought = {line.pack.key: line.packs for line in third.lines.select_related("pack")}
    assert bought["caster-pint"] == 6

    # It comes, every pack of it, and goes into eight bags.
    page.get_by_role("button", name="All of it came").click()
    page.get_by_role("link", name="Bags", exact=True).click()
    everyone = page.get_by_role("button", name="All of it is in")
    expect(everyone).to_have_count(8)
    seen(page, "bags")
    everyone.first.click()
    expect(everyone).to_have_count(7)
    bags_packed_but_one(world)
    page.reload()
    everyone.click()
    expect(everyone).to_have_count(0)
    page.get_by_role("link", name="Labels to print").click()
    expect(page.locator(".labels > li")).to_have_count(8)
    seen(page, "labels")
    page.goto(f"{team}order/")
    page.get_by_role("button", name="All bags are filled").click()
    taken = LotMove.objects.filter(kind="taken")
    assert sum(move.amount for move in taken) == -6

    # Two pay the shops, the others pay them back, and nothing is owed.
    page.get_by_role("link", name="Kitty", exact=True).click()
    page.get_by_label("Who paid", exact=True).first.select_option(label="Maud Ferris")
    page.get_by_role("button", name="Note it as paid").first.click()
    page.get_by_label("Who paid", exact=True).first.select_option(label="Ingram Lowe")
    page.get_by_role("button", name="Note it as paid").first.click()
    owed = page.get_by_role("button", name="Paid back")
    expect(owed).to_have_count(7)
    seen(page, "kitty")
    owed.first.click()
    expect(owed).to_have_count(6)
    paid_back_but_one(world)
    page.reload()
    owed.click()
    expect(owed).to_have_count(0)
    expect(page.get_by_text("Everybody is even.")).to_be_visible()
    page.get_by_role("link", name="Go on to settle the order").click()
    page.get_by_role("button", name="Settle the order").click()
    expect(page.get_by_text("This order is done.")).to_be_visible()
    seen(page, "settled")

    order = Order.objects.get()
    assert order.settled_at is not None
    assert kitty_even(order)
    assert sum(share.due_pence for share in third.shares.all()) == third.total_pence
