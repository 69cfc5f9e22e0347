"""A member mixes: the sheet on the desk, the squeeze test, and the clock on the bank."""

from __future__ import annotations

from typing import Any

import pytest
from playwright.sync_api import Page, expect

from bait.models import Bait, BaitKind, Mix, Plan
from bait.reads.phone import plan_json
from bait.reads.plans import plan_of_entry
from bait.writes.plan_content import plan_content_parse
from bait.writes.plans import plan_save
from tests.browser.bank_phone import go, open_match, rest_here, signal
from tests.browser.conftest import FaultsSeen, picture_keep


def mix_for(world: Any, first: str, *, hemp: str = "1.2") -> Plan:
    """Two bags of groundbait and soil, and ten balls with hemp, added to the plan there is."""
    for key, name, kind, bag in [
        ("river-mix", "River groundbait, dark", BaitKind.GROUNDBAIT, 4),
        ("leam", "Riddled leam", BaitKind.SOIL, None),
    ]:
        Bait.objects.get_or_create(
            club=world.club,
            key=key,
            defaults={"name": name, "kind": kind, "unit": "L", "bag_amount": bag},
        )
    entry = world.entries[first]
    plan = plan_of_entry(entry)
    raw: Any = plan_json(plan) if plan else {"version": 0, "stages": []}
    raw["mixes"] = [
        {
            "name": "base",
            "parts": [
                {"bait": "river-mix", "amount": "2", "unit": "bag"},
                {"bait": "leam", "amount": "3", "unit": "L", "after_rest": True},
            ],
        }
    ]
    raw["stages"] = [
        {
            "kind": "opening",
            "line": "long",
            "start_minute": -10,
            "end_minute": 0,
            "balls": {"count": 10, "mm": 80, "mix": "base"},
            "feeds": [{"bait": "hemp", "amount": hemp, "unit": "L"}],
        },
        *raw["stages"],
    ]
    return plan_save(world.secretary, entry=entry, content=plan_content_parse(raw))


@pytest.mark.parametrize("script", [True, False])
def test_a_member_squeezes_a_ball_and_the_sheet_reckons_with_it(
    lasting_world: Any, signed_in: Any, faults_seen: FaultsSeen, script: bool
) -> None:
    mix_for(lasting_world, "Wilmot", hemp="1.6")
    page = signed_in("wilmot", desk=False, java_script_enabled=script)
    page.goto(f"/desk/plans/{lasting_world.match.pk}/mixing/")
    expect(page.get_by_text("Wet it: 3.6 L of water.")).to_be_visible()
    expect(page.get_by_text("make 11 balls for it")).to_be_visible()
    page.get_by_text("Squeeze test: measure this mix").click()
    page.get_by_label("Most load that stayed whole").fill("165")
    page.get_by_role("button", name="Work out what that says").click()
    expect(page.get_by_text("a coat of 0.36 mm round each particle")).to_be_visible()
    assert str(Mix.objects.get().film_mm) == "0.40"
    if script:
        the_sheet_fits_is_read_by_an_aid_and_printed(page, faults_seen)
    page.get_by_role("button", name="Keep it in the plan").click()
    expect(page.get_by_text("Kept in the plan")).to_be_visible()
    expect(page.get_by_text("holds", exact=True)).to_be_visible()
    assert str(Mix.objects.get().film_mm) == "0.36"


def test_the_rest_timer_survives_reload_and_having_no_signal(
    lasting_world: Any, signed_in: Any
) -> None:
    mix_for(lasting_world, "Wilmot")
    page = signed_in("wilmot", desk=False)
    page.clock.install()
    open_match(page)
    rest_here(page)
    page.context.set_offline(True)
    page.reload()
    expect(signal(page)).to_have_attribute("data-signal", "no_signal")
    go(page, "My plan")
    go(page, "Mixing sheet and rest timer")
    expect(page.get_by_text("Wet it: 3.6 L of water")).to_be_visible()
    page.get_by_role("button", name="start the rest").click()
    expect(page.get_by_role("timer")).to_contain_text("25:")
    page.clock.fast_forward("10:00")
    expect(page.get_by_role("timer")).to_contain_text("15:0")
    picture_keep(page, "bank-mixing")
    page.reload()
    expect(page.get_by_role("timer")).to_contain_text("14:5")
    page.clock.fast_forward("15:00")
    expect(page.get_by_text("Rested since")).to_be_visible()
    page.reload()
    expect(page.get_by_text("Rested since")).to_be_visible()
    page.get_by_role("button", name="Put the clock away").click()
    expect(page.get_by_role("button", name="Go on from")).to_be_visible()
    page.get_by_role("button", name="Go on from").click()
    expect(page.get_by_text("Rested since")).to_be_visible()


def the_sheet_fits_is_read_by_an_aid_and_printed(page: Page, faults_seen: FaultsSeen) -> None:
    expect(page.get_by_text("Measured:")).to_be_visible()
    pressed = "main button, main a.button, main input, summary"
    assert faults_seen(page, "mixing", pressed=pressed) == []
    page.emulate_media(media="print")
    picture_keep(page, "mixing-print")
    expect(page.get_by_text("Wetted at")).to_be_visible()
    expect(page.get_by_role("button", name="Keep it in the plan")).to_be_hidden()
    page.emulate_media(media="screen")
