"""A member reads the review of a day on a phone."""

from __future__ import annotations

from typing import Any

from playwright.sync_api import expect

from tests.browser.conftest import FaultsSeen
from tests.web.test_even_pages import fished, planned
from tests.web.test_review_pages import SHORT, day_noted
from tests.web.test_venue_form_pages import published


def test_the_review_is_found_fits_and_can_be_read_by_an_aid(
    lasting_world: Any, signed_in: Any, faults_seen: FaultsSeen
) -> None:
    day_noted(lasting_world)
    page = signed_in("wilmot", 360)
    page.goto(f"/desk/matches/{lasting_world.match.pk}/")
    page.get_by_role("link", name="My review").click()
    expect(page.get_by_text("The short line was the better one")).to_be_visible()
    page.get_by_text("Fish and weight, quarter by quarter").click()
    last = page.locator("#review-table tbody tr").last
    expect(last).to_contain_text(str(sum(minute >= 285 for minute in SHORT)))
    assert faults_seen(page, "review", pressed="main a.button, main summary") == []


def test_how_the_pegs_fish_fits_and_can_be_read_by_an_aid(
    lasting_world: Any, signed_in: Any, faults_seen: FaultsSeen
) -> None:
    for number in range(12):
        published(lasting_world, number=number, level="high" if number < 7 else "low")
    page = signed_in("idris", 360)
    page.goto(f"/desk/venues/otterbeck/{lasting_world.venue.pk}/")
    page.get_by_role("link", name="How the pegs fish").click()
    expect(page.get_by_text("good peg", exact=True).first).to_be_visible()
    assert faults_seen(page, "venue-form") == []


def test_a_fairer_cut_is_seen_beside_what_stands_and_taken_over(
    lasting_world: Any, signed_in: Any, faults_seen: FaultsSeen
) -> None:
    planned(lasting_world)
    fished(lasting_world, matches=12)
    page = signed_in("idris", 360)
    page.goto(f"/desk/matches/{lasting_world.match.pk}/pegs/")
    with page.expect_navigation():
        page.get_by_role("link", name="Are they even?").click()
    expect(page.get_by_text("The fairer cut by these matches")).to_be_visible()
    assert faults_seen(page, "match-even", pressed="main button") == []
    with page.expect_navigation():
        page.get_by_role("button", name="Take this cut over").click()
    expect(page.get_by_text("The sections are saved.")).to_be_visible()
