"""The page on which throws are planned, at every width and for every reader."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from playwright.sync_api import Page, expect

from tests.browser.bank_phone import plan_for
from tests.browser.conftest import FaultsSeen


def test_a_throw_is_planned_at_the_desk_and_what_is_wrong_stands_at_its_field(
    signed_in: Callable[..., Page], lasting_world: Any, faults_seen: FaultsSeen
) -> None:
    plan_for(lasting_world, "Wilmot")
    page = signed_in("wilmot", desk=False)
    page.goto(f"/desk/plans/{lasting_world.match.pk}/")
    with page.expect_navigation():
        page.get_by_role("link", name="Plan the throws").click()
    page.get_by_label("Upstream (m)").fill("far")
    with page.expect_navigation():
        page.get_by_role("button", name="Keep these throws").click()
    expect(page.get_by_text("Write metres from -100 to 100, such as 6.4.")).to_be_visible()
    assert faults_seen(page, "where") == []
    page.get_by_label("Upstream (m)").fill("6.4")
    page.get_by_label("Out (m)").fill("12")
    with page.expect_navigation():
        page.get_by_role("button", name="Keep these throws").click()
    expect(page.get_by_text("1 throw is kept.")).to_be_visible()
    with page.expect_navigation():
        page.get_by_role("link", name="Back to the plan").click()
    expect(page.locator(".throws-kept")).to_have_text("Caster 6.4 m upstream, 12.0 m out")
