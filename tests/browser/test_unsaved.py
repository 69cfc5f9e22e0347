"""What is typed into a long form of the desk is not lost by a link pressed by mistake."""

from __future__ import annotations

from typing import Any

from playwright.sync_api import Dialog, expect


def test_a_long_form_is_left_only_by_who_says_so_and_saved_without_a_question(
    lasting_world: Any, signed_in: Any
) -> None:
    asked: list[str] = []

    def stay(dialog: Dialog) -> None:
        asked.append(dialog.type)
        dialog.dismiss()

    page = signed_in("idris", 360)
    page.goto(f"/desk/matches/{lasting_world.match.pk}/limits/")
    page.on("dialog", stay)
    litres = page.locator("[name=bait_l]")
    litres.fill("lots")
    with page.expect_event("dialog"):
        page.locator("main a[href^='/desk/']").first.click()
    expect(litres).to_have_value("lots")
    with page.expect_navigation():
        page.get_by_role("button", name="Save the limits").click()
    expect(page.locator("[name=bait_l][aria-invalid=true]")).to_have_value("lots")
    with page.expect_event("dialog"):
        page.locator("main a[href^='/desk/']").first.click()
    litres.fill("2.25")
    with page.expect_navigation():
        page.get_by_role("button", name="Save the limits").click()
    expect(page.get_by_text("The limits are saved.")).to_be_visible()
    assert asked == ["beforeunload", "beforeunload"]
