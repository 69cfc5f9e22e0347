"""A member plans and a captain orders, on a real page at a phone's width."""

from __future__ import annotations

from typing import Any

from django.utils import timezone
from playwright.sync_api import expect

from bait.models import Bait, BaitKind, Pack, Plan, Shop
from bait.writes.orders import order_version_make
from bait.writes.plan_content import plan_content_parse
from bait.writes.plans import plan_save
from matches.models import WorkRequest, WorkState
from tests.browser.conftest import FaultsSeen, picture_keep


def full_shelves(world: Any) -> None:
    """A second shop, and baits of every kind, so that the pages have something to show."""
    world.shops["hut"].delivery_fee_pence = 350
    world.shops["hut"].save()
    reel = Shop.objects.create(
        club=world.club,
        key="reel",
        name="Reel & Riddle",
        delivery_fee_pence=400,
        free_delivery_from_pence=4000,
    )
    for key, name, kind, unit, price in [
        ("maggot", "White maggot", BaitKind.ANIMAL, "pint", 310),
        ("river-mix", "River groundbait, dark", BaitKind.GROUNDBAIT, "kg", 390),
        ("leam", "Riddled leam", BaitKind.SOIL, "L", 120),
    ]:
        bait = Bait.objects.create(club=world.club, key=key, name=name, kind=kind, unit=unit)
        world.baits[key] = bait
        Pack.objects.create(shop=reel, bait=bait, key=key, amount=1, unit=unit, price_pence=price)


def planned(world: Any, first: str, *feeds: tuple[str, str, str]) -> None:
    raw = {
        "version": 0,
        "spare_percent": 10,
        "stages": [
            {
                "kind": "feed",
                "end_minute": 300,
                "feeds": [{"bait": b, "amount": a, "unit": u} for b, a, u in feeds],
            }
        ],
    }
    plan_save(world.secretary, entry=world.entries[first], content=plan_content_parse(raw))


def both_planned(world: Any) -> None:
    full_shelves(world)
    planned(world, "Maud", ("caster", "2.5", "pint"), ("river-mix", "4", "kg"))
    planned(
        world,
        "Wilmot",
        ("caster", "7", "pint"),
        ("hemp", "4", "pint"),
        ("maggot", "3", "pint"),
        ("leam", "6", "L"),
    )


def work_out() -> None:
    """Be the worker: do what waits."""
    for work in WorkRequest.objects.filter(state=WorkState.WAITING):
        order_version_make(work.pk)


def order_address(world: Any) -> str:
    return f"/desk/teams/{world.alders.pk}/matches/{world.match.pk}/order/"


def test_a_member_writes_a_plan_without_scripts(lasting_world: Any, signed_in: Any) -> None:
    full_shelves(lasting_world)
    page = signed_in("wilmot", 360, java_script_enabled=False)
    page.goto(f"/desk/plans/{lasting_world.match.pk}/")
    page.get_by_label("Bait", exact=True).first.select_option("leam")
    page.get_by_label("Amount").first.fill("6")
    page.get_by_label("Unit").first.select_option("L")
    page.get_by_role("button", name="Add a bait").nth(1).click()
    page.locator("[name=stage-1-feed-0-bait]").select_option("caster")
    page.locator("[name=stage-1-feed-0-amount]").fill("0,04")
    page.locator("[name=stage-1-every_seconds]").fill("240")
    page.locator("[name=stage-1-feed-1-bait]").select_option("hemp")
    page.locator("[name=stage-1-feed-1-amount]").fill("0.02")
    page.get_by_role("button", name="Add it up").click()
    expect(page.locator("#comes-to ~ .bag")).to_contain_text("3.3 pints")
    expect(page.get_by_text("not saved yet", exact=True)).to_be_visible()
    page.get_by_role("button", name="Save the plan").click()
    expect(page.get_by_text("Plan saved, version 1.")).to_be_visible()
    assert Plan.objects.get().stages.count() == 2


def test_a_wrong_plan_is_mended_where_it_is_marked(lasting_world: Any, signed_in: Any) -> None:
    page = signed_in("wilmot", 360)
    page.goto(f"/desk/plans/{lasting_world.match.pk}/")
    page.locator("[name=stage-1-feed-0-bait]").select_option("caster")
    page.locator("[name=stage-1-feed-0-amount]").fill("2.5")
    page.locator("[name=stage-1-feed-0-unit]").select_option("kg")
    page.get_by_role("button", name="Save the plan").click()
    expect(page.locator("[name=stage-1-feed-0-unit]")).to_have_attribute("aria-invalid", "true")
    picture_keep(page, "plan-wrong")
    page.locator("[name=stage-1-feed-0-unit]").select_option("pint")
    page.get_by_role("button", name="Save the plan").click()
    expect(page.get_by_text("Plan saved, version 1.")).to_be_visible()


def test_a_captain_watches_the_order_come_and_places_it(lasting_world: Any, signed_in: Any) -> None:
    both_planned(lasting_world)
    page = signed_in("maud", 360)
    page.goto(f"/desk/teams/{lasting_world.alders.pk}/matches/{lasting_world.match.pk}/")
    page.get_by_role("button", name="Work out the order").click()
    expect(page.get_by_role("heading", name="Being worked out")).to_be_visible()
    picture_keep(page, "order-working")
    WorkRequest.objects.update(
        state=WorkState.RUNNING,
        lease="018f0000-0000-7000-8000-000000000000",
        lease_until=timezone.now(),
        percent=60,
        progress="comparing",
    )
    expect(page.get_by_text("Comparing with what each member would pay alone.")).to_be_visible()
    expect(page.get_by_role("progressbar")).to_have_js_property("value", 60)
    WorkRequest.objects.update(state=WorkState.WAITING, lease=None, lease_until=None)
    work_out()
    expect(page.get_by_text("proved least cost")).to_be_visible()
    page.get_by_text("Text for the shop").first.click()
    expect(page.locator("textarea").first).to_have_value(
        "Otterbeck Alders – June Open, 20.06.2026\n\n11 × Caster, 1 pint\n5 × Hemp, 1 pint"
    )
    page.get_by_role("button", name="mark it placed").click()
    expect(page.get_by_text("Version 1 counts as placed.")).to_be_visible()


def test_the_order_page_goes_on_by_itself_without_script(
    lasting_world: Any, signed_in: Any
) -> None:
    both_planned(lasting_world)
    page = signed_in("maud", 360, java_script_enabled=False)
    page.goto(order_address(lasting_world))
    page.get_by_role("button", name="Work out the order").click()
    expect(page.get_by_role("heading", name="Being worked out")).to_be_visible()
    work_out()
    expect(page.get_by_text("proved least cost")).to_be_visible()


def test_every_captains_page_fits_and_can_be_read_by_an_aid(
    lasting_world: Any, signed_in: Any, faults_seen: FaultsSeen
) -> None:
    world = lasting_world
    both_planned(world)
    page = signed_in("maud", 360)
    team = f"/desk/teams/{world.alders.pk}/matches/{world.match.pk}/"
    seen: dict[str, list[str]] = {}
    for name, address in [
        ("plan", f"/desk/plans/{world.match.pk}/"),
        ("team", team),
        ("order-none", order_address(world)),
    ]:
        page.goto(address)
        seen[name] = faults_seen(page, name)
    page.get_by_role("button", name="Work out the order").click()
    work_out()
    expect(page.get_by_text("proved least cost")).to_be_visible()
    seen["order"] = faults_seen(page, "order")
    world.packs["caster"].max_packs = 3
    world.packs["caster"].save()
    page.reload()
    seen["order-stale"] = faults_seen(page, "order-stale")
    page.get_by_role("button", name="Work it out again").click()
    work_out()
    expect(page.get_by_text("something cannot be had")).to_be_visible()
    seen["order-short"] = faults_seen(page, "order-short")
    assert seen == {name: [] for name in seen}
