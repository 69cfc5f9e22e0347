"""A captain packs bags and settles the kitty at a phone's width, and prints labels."""

from __future__ import annotations

import os
import re
from pathlib import Path
from typing import Any

from django.utils import timezone
from playwright.sync_api import expect

from bait.models import BagTick, Order
from bait.reads.kitty import kitty_even
from bait.writes.orders import order_ask, order_place
from matches.models import Angler, Entry
from tests.browser.conftest import FaultsSeen
from tests.browser.test_captain import both_planned, planned, work_out

PRESSED = "main button, main a.button, main select, main input"
LAST = ("Vane", "Aldous", "Thorne", "Quill")
FIRST = ("Dorrit", "Hazel", "Ingram", "Jessop", "Kester", "Linnet")


def order_placed(world: Any, *, members: int = 2) -> Order:
    both_planned(world)
    for n in range(members - 2):
        name = f"{FIRST[n % 6]} {LAST[n // 6]}"
        angler = Angler.objects.create(club=world.club, team=world.alders, name=name)
        world.entries[name] = Entry.objects.create(
            match=world.match, angler=angler, team=world.alders
        )
        planned(world, name, ("caster", f"{n % 6 + 1}.5", "pint"), ("river-mix", "1.5", "kg"))
    order, _work = order_ask(world.captain, team=world.alders, match=world.match)
    work_out()
    order.refresh_from_db()
    assert order.current is not None
    return order_place(world.captain, order=order, version=order.current)


def team_address(world: Any) -> str:
    return f"/desk/teams/{world.alders.pk}/matches/{world.match.pk}/"


def test_a_captain_packs_two_bags_and_settles_the_kitty_without_scripts(
    lasting_world: Any, signed_in: Any
) -> None:
    order = order_placed(lasting_world)
    page = signed_in("maud", 360, java_script_enabled=False)
    page.goto(team_address(lasting_world) + "order/")
    page.goto(team_address(lasting_world) + "bags/")
    page.get_by_role("button", name="River groundbait").click()
    expect(page.locator('.thing[aria-pressed="true"]')).to_have_count(1)
    page.locator('.thing[aria-pressed="true"]').click()
    expect(page.locator('.thing[aria-pressed="true"]')).to_have_count(0)
    page.get_by_role("button", name="All of it is in Maud Ferris").click()
    page.get_by_role("button", name="All of it is in Wilmot Crane").click()
    expect(page.get_by_text("6 of 6 things are in their bags")).to_be_visible()
    assert BagTick.objects.count() == 6
    page.get_by_role("link", name="Kitty").click()
    for _shop in range(2):
        page.get_by_role("button", name="Note it as paid").first.click()
        expect(page.get_by_text("Noted who paid the shop.")).to_be_visible()
    page.get_by_role("button", name="Paid back").click()
    expect(page.get_by_text("Everybody is even.")).to_be_visible()
    assert kitty_even(order)


def test_every_page_of_bags_and_money_fits_and_can_be_read_by_an_aid(
    lasting_world: Any, signed_in: Any, faults_seen: FaultsSeen
) -> None:
    world = lasting_world
    page = signed_in("maud", 360)
    seen: dict[str, list[str]] = {}

    def see(name: str, address: str) -> None:
        page.goto(address)
        seen[name] = faults_seen(page, name, pressed=PRESSED)

    team, plan = team_address(world), f"/desk/plans/{world.match.pk}/"
    see("kitty-none", team + "kitty/")
    see("bags-none", team + "bags/")
    see("statement-none", plan + "statement/")
    order_placed(world, members=3)
    see("kitty-unpaid", team + "kitty/")
    for _shop in range(2):
        with page.expect_navigation():
            page.get_by_role("button", name="Note it as paid").first.click()
    see("kitty", team + "kitty/")
    page.goto(team + "bags/")
    with page.expect_navigation():
        page.get_by_role("button", name="All of it is in Maud Ferris").click()
    see("bags-begun", team + "bags/")
    see("labels", team + "bags/labels/")
    see("statement", plan + "statement/")
    see("statement-member", f"{plan}entries/{world.entries['Wilmot'].pk}/statement/")
    assert seen == {name: [] for name in seen}


def test_labels_print_two_abreast_and_none_over_two_pages(
    lasting_world: Any, signed_in: Any
) -> None:
    order_placed(lasting_world, members=26)
    Order.objects.update(received_at=timezone.now())
    page = signed_in("maud", 1280)
    page.goto(team_address(lasting_world) + "bags/labels/")
    page.set_viewport_size({"width": 703, "height": 1032})  # A4 less 12 mm all round, at 96 dpi
    page.emulate_media(media="print")
    labels = page.locator(".labels > li")
    expect(labels).to_have_count(26)
    assert labels.evaluate_all("all => new Set(all.map(e => getComputedStyle(e).breakInside)).size")
    assert labels.first.evaluate("e => getComputedStyle(e).breakInside") == "avoid"
    lefts = labels.evaluate_all("all => [...new Set(all.map(e => e.getBoundingClientRect().left))]")
    assert len(lefts) == 2
    for hidden in (".top", ".foot", ".trail", "h1"):
        expect(page.locator(hidden)).to_be_hidden()
    paper = page.pdf(format="A4")
    folder = os.environ.get("DRAWBAG_PICTURES")
    if folder:
        (Path(folder) / "labels.pdf").write_bytes(paper)
    assert len(re.findall(rb"/Type\s*/Page\b", paper)) == 3
