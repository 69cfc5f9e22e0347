"""A long list on the desk: a box above it leaves the rows one looks for."""

from __future__ import annotations

from typing import Any

from playwright.sync_api import Page, expect

from bait.models import Bait
from tests.browser.conftest import FaultsSeen


def test_of_many_baits_those_with_what_is_typed_are_left(
    lasting_world: Any, signed_in: Any, faults_seen: FaultsSeen
) -> None:
    Bait.objects.bulk_create(
        Bait(
            club=lasting_world.club,
            key=f"crumb-{n}",
            name=f"Crème {n:02d}",
            kind="groundbait",
            unit="L",
        )
        for n in range(30)
    )
    page: Page = signed_in("maud", 360)
    page.goto(f"/desk/baits/{lasting_world.club.slug}/")
    box = page.get_by_role("searchbox", name="Find in this list")
    rows = page.locator("table.prices tbody tr:visible")
    expect(rows).to_have_count(Bait.objects.filter(club=lasting_world.club).count())
    box.fill("07 creme")
    expect(rows).to_have_count(1)
    expect(rows).to_contain_text("Crème 07")
    box.press("Enter")
    box.fill("")
    expect(rows.nth(29)).to_be_visible()
    assert faults_seen(page, "long-list", pressed="main table a, #find-rows-0") == []
