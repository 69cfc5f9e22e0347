"""Where each feed goes in: measured at the peg without signal, seen on the same page."""

from __future__ import annotations

import re
from collections.abc import Callable
from typing import Any

from playwright.sync_api import Page, expect

from bait.reckon.placement import placement_parse, placement_work_out
from tests.browser.bank_phone import rest_here, signal

BALL = {"name": "ball", "shape": "ball", "diameter_m": 0.08, "density_kg_m3": 1500}


def note_peg(page: Page, *, depth: str, distance: str, seconds: str, settles: str) -> None:
    page.locator("[name=way]").fill(distance)
    page.locator("details:has([name=seconds]) summary").click()
    page.locator("[name=seconds]").fill(seconds)
    page.locator("details:has([name=seconds]) button").click()
    expect(page.locator(".lately")).to_contain_text("kept")
    page.locator("[name=depth]").fill(depth)
    page.locator("[name=settles]").fill(settles)
    page.get_by_role("button", name="Keep the notes").click()
    expect(page.locator(".lately")).to_contain_text("kept")


def shown(page: Page, feed: str) -> Any:
    return page.locator(".landed li").filter(has_text=feed).locator(".landed-where")


def test_each_feed_goes_in_where_the_peg_says_and_as_set_by_hand_without_signal_too(
    at_match: Callable[..., Page], lasting_world: Any
) -> None:
    match = lasting_world.match.pk
    page = at_match("wilmot")
    what_is_set_by_hand_stays_and_the_peg_notes_come_back_when_asked(page, match)
    rest_here(page)
    expect(signal(page)).to_contain_text("signal")
    page.goto(f"/bank/#/match/{match}/swim")
    expect(page.get_by_role("heading", name="Where it lands")).to_be_visible()
    page.context.set_offline(True)
    page.goto(f"/bank/#/match/{match}/peg")
    note_peg(page, depth="240", distance="500", seconds="14.2", settles="300")
    page.get_by_role("link", name="Where it lands").click()
    swim = {"depth_m": 2.4, "surface_speed_m_s": 5 / 14.2, "water_temp_c": 12, "rig_settles_m": 3}
    ball = placement_work_out(placement_parse({**swim, "feeds": [BALL]})).feeds[0]
    expect(shown(page, "Balls of 80 mm")).to_have_text(f"{ball.throw_m:.1f} m downstream")
    expect(page.locator(".swim-says")).to_contain_text("2.4 m deep, 0.35 m/s")
    expect(shown(page, "Caster")).to_contain_text("upstream")


def what_is_set_by_hand_stays_and_the_peg_notes_come_back_when_asked(
    page: Page, match: int
) -> None:
    page.goto(f"/bank/#/match/{match}/swim")
    before = shown(page, "Caster").inner_text()
    page.get_by_role("button", name="Depth: more").click()
    expect(page.locator(".slide output").first).to_have_text("2.1 m")
    expect(shown(page, "Caster")).not_to_have_text(before)
    page.get_by_role("slider", name=re.compile("Speed of a float")).press("ArrowRight")
    expect(page.locator(".slide output").nth(1)).to_have_text("0.31 m/s")
    # What is shown at once is kept beside: a read waits for every write before it.
    page.evaluate("import('/static/bank/bag.js').then(({ bag }) => bag.store.metaGet(''))")
    page.reload()
    expect(page.locator(".slide output").first).to_have_text("2.1 m")
    expect(page.locator(".slide output").nth(1)).to_have_text("0.31 m/s")
    page.get_by_role("button", name="Take the peg notes again").click()
    expect(shown(page, "Caster")).to_have_text(before)
