"""A captain sees an order through on a phone: a late change, a sold-out pack, shorts, bags."""

from __future__ import annotations

from typing import Any

from playwright.sync_api import Page, expect

from bait.models import Order, Pack
from bait.reads.order_life import OrderState, order_state
from bait.writes.plan_content import plan_content_parse
from bait.writes.plans import plan_save
from tests.browser.conftest import FaultsSeen
from tests.browser.test_captain import both_planned, order_address, work_out


def planned_again(world: Any, first: str, *feeds: tuple[str, str, str]) -> None:
    entry = world.entries[first]
    entry.refresh_from_db()
    raw = {
        "version": entry.plan.version,
        "spare_percent": 10,
        "stages": [
            {
                "kind": "feed",
                "end_minute": 300,
                "feeds": [{"bait": b, "amount": a, "unit": u} for b, a, u in feeds],
            }
        ],
    }
    plan_save(world.secretary, entry=entry, content=plan_content_parse(raw))


def worked_out(page: Page, button: str) -> None:
    page.get_by_role("button", name=button).first.click()
    expect(page.get_by_role("heading", name="Being worked out")).to_be_visible()
    work_out()
    expect(page.get_by_role("heading", name="Being worked out")).to_be_hidden()


def reel_sells_caster(world: Any) -> None:
    reel = world.club.shops.get(key="reel")
    Pack.objects.create(
        shop=reel,
        bait=world.baits["caster"],
        key="caster",
        amount=1,
        unit="pint",
        price_pence=460,
    )


def test_a_captain_sees_an_order_through(
    lasting_world: Any, signed_in: Any, faults_seen: FaultsSeen
) -> None:
    world = lasting_world
    both_planned(world)
    reel_sells_caster(world)
    page = signed_in("maud", 360)
    seen: dict[str, list[str]] = {}

    def seen_as(name: str) -> None:
        seen[name] = faults_seen(page, f"life-{name}")

    page.goto(order_address(world))
    worked_out(page, "Work out the order")
    page.get_by_role("button", name="mark it placed").click()
    expect(page.get_by_role("heading", name="When the bait comes")).to_be_visible()
    seen_as("placed")

    planned_again(world, "Maud", ("caster", "4", "pint"), ("hemp", "2", "pint"))
    page.reload()
    worked_out(page, "Work out what the change costs")
    expect(page.get_by_role("heading", name="A late change: version 2")).to_be_visible()
    seen_as("change")
    page.get_by_role("button", name="accept the change").click()
    expect(page.get_by_text("Version 2 counts as placed now.")).to_be_visible()

    page.get_by_text("Sold out, or only some left?").first.click()
    page.get_by_label("Packs you still get").first.fill("9")
    seen_as("sold-out")
    page.get_by_role("button", name="Mark it and work out the rest again").first.click()
    expect(page.get_by_role("heading", name="Being worked out")).to_be_visible()
    work_out()
    expect(page.get_by_role("heading", name="A late change: version 3")).to_be_visible()
    expect(page.get_by_text("only 9 packs to be had")).to_be_visible()
    seen_as("sold-out-change")
    page.get_by_role("button", name="accept the change").click()

    page.get_by_text("count it line by line").click()
    page.get_by_label("Came Hemp").fill("1")
    page.get_by_role("button", name="keep these counts").click()
    expect(page.get_by_role("heading", name="What came")).to_be_visible()
    seen_as("came")
    page.get_by_role("button", name="All bags are filled").click()
    expect(page.get_by_text("The bags are filled")).to_be_visible()
    seen_as("bagged")
    assert order_state(Order.objects.get()) is OrderState.BAGGED
    page.goto(f"{order_address(world)}print/")
    seen_as("print")
    assert seen == {name: [] for name in seen}


def test_an_open_page_says_that_a_plan_changed(lasting_world: Any, signed_in: Any) -> None:
    both_planned(lasting_world)
    page = signed_in("maud", 360)
    page.goto(order_address(lasting_world))
    worked_out(page, "Work out the order")
    expect(page.locator("#stands")).to_be_hidden()
    planned_again(lasting_world, "Maud", ("caster", "4", "pint"))
    told = page.get_by_text("Something changed since you opened this page.")
    expect(told).to_be_visible(timeout=30_000)
