"""The throw as the angler sees it, the wind, and what to change, beside the swim's picture."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from playwright.sync_api import Page, expect

from bait.reckon.placement import (
    FeedPlaced,
    PlacementAnswer,
    placement_parse,
    placement_work_out,
)
from tests.browser.conftest import FaultsSeen
from tests.browser.test_bank_swim import shown

#: What the swim begins with, and the sink speed from memory.
SWIM = {"depth_m": 2, "surface_speed_m_s": 0.3, "water_temp_c": 12, "rig_settles_m": 2}
CASTER = {"name": "Caster", "sink_speed_m_s": 0.045}


def reckoned(**changes: Any) -> PlacementAnswer:
    asked = {**SWIM, "feeds": [CASTER], "swim_m": 12, **changes}
    return placement_work_out(placement_parse(asked))


def caster(**changes: Any) -> FeedPlaced:
    return reckoned(**changes).feeds[0]


def up(feed: FeedPlaced) -> str:
    return f"{-feed.throw_m:.1f} m upstream"


def test_what_to_change_is_worked_out_for_the_swim_and_the_throw_follows_wind_line_and_rod(
    at_match: Callable[..., Page], lasting_world: Any, faults_seen: FaultsSeen
) -> None:
    page = at_match("wilmot")
    page.goto(f"/bank/#/match/{lasting_world.match.pk}/swim")
    expect(page.locator("swim-more table")).to_have_count(2)
    more = page.locator("swim-more")
    more.locator("select").select_option("Caster")
    reach = caster().reach[0]
    expect(more).to_contain_text(f"Caster: down within 12.0 m up to {reach:.2f} m/s.")
    expect(more).to_contain_text("Balls of 80 mm: down within 12.0 m in any river.")
    expect(more.locator("li").first).to_contain_text("Balls of 80 mm instead: nine in ten within")
    now = more.locator("tr.is-now")
    expect(now).to_have_count(1)
    expect(now.locator("td.is-now")).to_have_text(f"loose {caster().drift_m:.1f} m")
    expect(now.locator("td").last).to_have_text(f"balls {caster(depth_m=3).drift_m:.1f} m")
    risen = reckoned(rise_m=0.2).risen
    assert risen is not None
    expect(more).to_contain_text(f"2.2 m deep and {risen.swim.speed:.2f} m/s")
    moved = more.locator(".risen tr").filter(has_text="Caster").locator("td")
    expect(moved).to_have_text(
        [f"{-caster().throw_m:.1f} m up", f"{-risen.feeds[0].throw_m:.1f} m up"]
    )
    page.get_by_role("button", name="10 cm higher").click()
    expect(more).to_contain_text("2.3 m deep")
    page.get_by_role("button", name="Depth: more").click()
    expect(more).to_contain_text("2.4 m deep")
    expect(page.get_by_text("stay 30 m away from power lines")).to_be_visible()
    assert faults_seen(page, "swim") == []
    page.get_by_role("button", name="Take the peg notes again").click()
    the_throw_follows_wind_line_and_rod(page)


def the_throw_follows_wind_line_and_rod(page: Page) -> None:
    row = page.locator(".landed li").filter(has_text="Caster")
    expect(shown(page, "Caster")).to_have_text(up(caster()))
    expect(row).to_contain_text("2¼ rods upstream, 2¼ rods out, between 10 and 11 o'clock.")
    wind = page.get_by_role("group", name="The wind blows along the river")
    wind.get_by_role("button", name="down").click()
    expect(shown(page, "Caster")).to_have_text(up(caster(wind_m_s=4)))
    wind.get_by_role("button", name="up").click()
    expect(shown(page, "Caster")).to_have_text(up(caster(wind_m_s=-4)))
    page.get_by_role("button", name="Wind: more").click()
    expect(shown(page, "Caster")).to_have_text(up(caster(wind_m_s=-5)))
    page.get_by_role("button", name="left").click()
    expect(row).to_contain_text("between 1 and 2 o'clock")
    line = page.locator("input[name=line]")
    for wrong in ("0", "-3", "NaN", "deep"):
        line.fill(wrong)
        line.blur()
        expect(page.get_by_text("Write metres from 0.5 to 60.")).to_be_visible()
        expect(row).to_contain_text("2¼ rods out")
    line.fill("13,5")
    line.blur()
    expect(page.get_by_text("Write metres from")).to_have_count(0)
    expect(row).to_contain_text("3½ rods out")
    page.reload()
    expect(row).to_contain_text("3½ rods out")
    expect(shown(page, "Caster")).to_have_text(up(caster(wind_m_s=-5)))
