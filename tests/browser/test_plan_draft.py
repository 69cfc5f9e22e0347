"""What is typed into a plan outlasts a reload, a look at another page and a lost signal."""

from __future__ import annotations

from typing import Any

from playwright.sync_api import Page, expect

from bait.models import Plan
from tests.browser.test_captain import full_shelves
from tests.browser.test_plan import full_plan, unfold

BACK = "What you typed here is back"


def opened(world: Any, signed_in: Any, **options: Any) -> Page:
    full_shelves(world)
    full_plan(world)
    page: Page = signed_in("wilmot", 360, **options)
    page.goto(f"/desk/plans/{world.match.pk}/")
    return page


def test_what_is_typed_and_a_row_added_come_back_after_a_reload(
    lasting_world: Any, signed_in: Any
) -> None:
    page = opened(lasting_world, signed_in)
    page.get_by_role("button", name="Add a substitute").click()
    page.locator("[name=substitute-1-bait]").select_option("hemp")
    unfold(page, "stage-1")
    page.locator("[name=stage-1-every_seconds]").fill("333")
    page.reload()
    expect(page.get_by_text(BACK)).to_be_visible()
    expect(page.locator("[name=substitute-1-bait]")).to_have_value("hemp")
    expect(page.locator("[name=stage-1-every_seconds]")).to_have_value("333")
    page.get_by_role("link", name="Measure the throws").click()
    page.get_by_role("link", name="Back to the plan").click()
    expect(page.locator("[name=stage-1-every_seconds]")).to_have_value("333")
    page.get_by_role("link", name="Back to what was saved").click()
    expect(page.locator("[name=stage-1-every_seconds]")).to_have_value("300")
    page.reload()
    expect(page.locator("[name=stage-1-every_seconds]")).to_have_value("300")
    expect(page.get_by_text(BACK)).to_be_hidden()


def test_saving_without_signal_keeps_the_page_and_once_saved_nothing_comes_back(
    lasting_world: Any, signed_in: Any
) -> None:
    page = opened(lasting_world, signed_in, may_fail=True)
    page.locator("[name=note]").fill("Typed at the bank")
    page.context.set_offline(True)
    page.get_by_role("button", name="Save the plan").click()
    expect(page.get_by_text("No answer from the server.")).to_be_visible()
    expect(page.locator("[name=note]")).to_have_value("Typed at the bank")
    page.context.set_offline(False)
    page.get_by_role("button", name="Save the plan").click()
    expect(page.get_by_text("Plan saved, version 2.")).to_be_visible()
    page.reload()
    expect(page.locator("[name=note]")).to_have_value("Typed at the bank")
    expect(page.get_by_text(BACK)).to_be_hidden()
    assert Plan.objects.get().note == "Typed at the bank"


def test_what_is_typed_meets_a_newer_plan_as_a_choice_and_another_person_never(
    lasting_world: Any, signed_in: Any
) -> None:
    page = opened(lasting_world, signed_in)
    page.locator("[name=note]").fill("Mine")
    Plan.objects.update(version=2, note="Theirs")
    page.reload()
    expect(page.locator("[name=note]")).to_have_value("Mine")
    page.get_by_role("button", name="Save the plan").click()
    expect(page.get_by_role("button", name="Save mine over it")).to_be_visible()
    page.get_by_role("link", name="Keep theirs").click()
    expect(page.locator("[name=note]")).to_have_value("Theirs")
    expect(page.get_by_text(BACK)).to_be_hidden()
