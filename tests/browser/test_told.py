"""What was done is said where its person looks, on a phone too."""

from __future__ import annotations

from typing import Any

from playwright.sync_api import Page, expect


def test_whoever_comes_back_to_a_form_further_down_sees_what_was_said(
    lasting_world: Any, signed_in: Any
) -> None:
    page: Page = signed_in("maud", 360)
    page.goto(f"/desk/teams/{lasting_world.alders.pk}/larder/")
    page.get_by_label("Bait", exact=True).select_option("hemp")
    page.get_by_label("Amount").fill("2")
    page.get_by_role("button", name="Bring it in").click()
    expect(page).to_have_url(f"/desk/teams/{lasting_world.alders.pk}/larder/#bring-head")
    said = page.get_by_text("Brought in: Hemp, 2 pints.")
    expect(said).to_be_in_viewport()
    head = page.get_by_role("heading", name="Bring bait in")
    expect(head).to_be_in_viewport()
    above, below = said.bounding_box(), head.bounding_box()
    assert above and below and above["y"] + above["height"] <= below["y"]
