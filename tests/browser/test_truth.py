"""On a phone: what became of the bait, a spare taken in one tap, a suggested plan taken over."""

from __future__ import annotations

from typing import Any

from playwright.sync_api import expect

from bait.models import Plan
from tests.browser.conftest import FaultsSeen
from tests.web.bait_season import matches_before, one_match
from tests.web.test_suggestion_pages import february


def test_a_captain_sees_where_bait_went_and_what_it_cost(
    lasting_world: Any, signed_in: Any, faults_seen: FaultsSeen
) -> None:
    one_match(lasting_world)
    page = signed_in("maud", 360)
    page.goto(f"/desk/teams/{lasting_world.alders.pk}/matches/{lasting_world.match.pk}/")
    with page.expect_navigation():
        page.get_by_role("link", name="In and out").click()
    expect(page.get_by_text("Not accounted for: Caster 2 pints.")).to_be_visible()
    page.get_by_text("Bait by bait Wilmot Crane").click()
    assert faults_seen(page, "truth", pressed="main a.button, main summary") == []
    with page.expect_navigation():
        page.get_by_role("link", name="What bait cost this season").click()
    expect(page.get_by_role("heading", name="What bait cost")).to_be_visible()
    assert faults_seen(page, "bait-cost") == []


def test_a_captain_takes_the_spare_in_one_tap(
    lasting_world: Any, signed_in: Any, faults_seen: FaultsSeen
) -> None:
    matches_before(lasting_world, 5)
    page = signed_in("maud", 360)
    page.goto(f"/desk/teams/{lasting_world.alders.pk}/matches/{lasting_world.match.pk}/order/")
    expect(page.get_by_text("Suggested: 10 %.")).to_be_visible()
    assert faults_seen(page, "order-spare", pressed="main button") == []
    with page.expect_navigation():
        page.get_by_role("button", name="Give all 2 plans 10 %").click()
    expect(page.get_by_text("2 plans have 10 % spare now.")).to_be_visible()
    plans = Plan.objects.filter(entry__match=lasting_world.match)
    assert [plan.spare_percent for plan in plans] == [10, 10]


def test_a_member_takes_the_suggested_plan_over_and_changes_it(
    lasting_world: Any, signed_in: Any, faults_seen: FaultsSeen
) -> None:
    entry = february(lasting_world)
    page = signed_in("wilmot", 360)
    page.goto(f"/desk/plans/{entry.match_id}/")
    with page.expect_navigation():
        page.get_by_role("link", name="See a suggested plan").click()
    page.get_by_label("Water, °C").fill("16.5")
    with page.expect_navigation():
        page.get_by_role("button", name="Suggest for this water").click()
    expect(page.get_by_role("row", name="16.5 °C, warm")).to_be_visible()
    assert faults_seen(page, "suggestion", pressed="main button") == []
    with page.expect_navigation():
        page.get_by_role("button", name="Put it into the plan").click()
    expect(page.locator("[name=note]")).to_have_value(
        "Started from a suggestion for water of 16.5 °C and 0.30 m/s: from what was used before "
        "and what is usual, not a forecast."
    )
    assert not Plan.objects.filter(entry=entry).exists()
    page.locator("[name=spare_percent]").fill("15")
    with page.expect_navigation():
        page.locator(".save-bar").get_by_role("button", name="Save").first.click()
    expect(page.get_by_text("Plan saved, version 1.")).to_be_visible()
    plan = Plan.objects.get(entry=entry)
    assert (plan.spare_percent, plan.mixes.count()) == (15, 1)
