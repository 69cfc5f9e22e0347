"""The desk from a keyboard: any page by its name, and rows without a mouse."""

from __future__ import annotations

from typing import Any

from playwright.sync_api import Page, expect

from tests.browser.conftest import FaultsSeen
from tests.browser.test_captain import both_planned


def test_a_slash_finds_a_page_and_escape_gives_the_focus_back(
    lasting_world: Any, signed_in: Any, faults_seen: FaultsSeen
) -> None:
    page: Page = signed_in("maud", 360)
    page.goto("/desk/")
    page.get_by_role("link", name="My phones").focus()
    page.keyboard.press("/")
    field = page.get_by_role("combobox", name="Go to…")
    expect(field).to_be_focused()
    expect(page.get_by_role("option").first).to_be_visible()
    assert faults_seen(page, "go-to", pressed="#finder button, #finder [role=option]") == []
    page.keyboard.press("Escape")
    expect(page.get_by_role("link", name="My phones")).to_be_focused()
    page.get_by_role("link", name="Go to…").click()
    field.press_sequentially("alders SEAS")
    option = page.get_by_role("option")
    expect(option).to_have_text(["Season · Otterbeck Alders"])
    expect(option).to_have_attribute("aria-selected", "true")
    with page.expect_navigation(url=f"**/desk/teams/{lasting_world.alders.pk}/season/"):
        field.press("Enter")


def test_enter_goes_from_row_to_row_and_sends_nothing(lasting_world: Any, signed_in: Any) -> None:
    both_planned(lasting_world)
    pack = lasting_world.packs["caster"]
    page: Page = signed_in("maud", 360)
    page.goto(f"/desk/shops/{lasting_world.club.slug}/{pack.shop.key}/packs/{pack.pk}/")
    each = page.get_by_label("Each costs")
    each.first.focus()
    each.first.press("Enter")
    expect(each.nth(1)).to_be_focused()
    each.nth(1).press("ArrowUp")
    expect(each.first).to_be_focused()
    for _row in range(each.count()):
        page.keyboard.press("ArrowDown")
    expect(each.last).to_be_focused()
    page.keyboard.press("Enter")
    expect(page.get_by_role("button", name="Save the price")).to_be_focused()
