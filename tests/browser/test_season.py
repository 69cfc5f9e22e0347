"""A captain has the season worked out and reads it on a phone."""

from __future__ import annotations

from typing import Any

from playwright.sync_api import expect

from bait.writes.season import season_answer_make
from matches.models import WorkRequest
from tests.bait.test_season_work import matches_fished
from tests.browser.conftest import FaultsSeen


def test_the_season_is_asked_for_fits_and_can_be_read_by_an_aid(
    lasting_world: Any, signed_in: Any, faults_seen: FaultsSeen
) -> None:
    matches_fished(lasting_world, many=9)
    page = signed_in("maud", 360)
    page.goto(f"/desk/teams/{lasting_world.alders.pk}/matches/{lasting_world.match.pk}/")
    page.get_by_role("link", name="Season").click()
    page.get_by_role("button", name="Work out the season").click()
    expect(page.get_by_role("heading", name="Being worked out")).to_be_visible()
    season_answer_make(WorkRequest.objects.get().pk)
    # The page follows the work and loads itself anew once it is over.
    expect(page.get_by_role("heading", name="What can be said")).to_be_visible(timeout=15_000)
    expect(page.locator("#season-list")).to_contain_text("Fed on 9 matches, 18 days, 2 anglers.")
    expect(page.locator("svg.season-picture")).to_contain_text("Caster, +")
    page.get_by_text("What was left out").scroll_into_view_if_needed()
    assert faults_seen(page, "season", pressed="main a.button, main summary") == []
