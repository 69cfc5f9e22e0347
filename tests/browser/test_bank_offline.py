"""The bank app on a real phone-sized Chromium, against the real server: what must survive."""

from __future__ import annotations

import re
from collections.abc import Callable
from typing import Any

from playwright.sync_api import Page, Route, expect

PUSH = "**/api/v1/sync/facts"


def open_match(page: Page) -> None:
    """The bank, signed in, with the match and the worker on the phone."""
    page.goto("/bank/")
    page.evaluate("navigator.serviceWorker.ready")
    page.get_by_role("link", name="June Open").click()
    expect(page.get_by_role("heading", name="June Open")).to_be_visible()
    expect(signal(page)).to_have_attribute("data-signal", "ok")


def signal(page: Page) -> Any:
    return page.locator("[data-signal]")


def count(page: Page, what: str) -> Any:
    return page.locator(f"[data-count={what}] b")


def go(page: Page, name: str) -> None:
    page.get_by_role("link", name=name, exact=True).click()


def weigh(page: Page, peg: str, digits: str) -> None:
    """From the list of pegs, through the keypad, back to the list."""
    page.locator(f"a[href$='/weigh/{peg}']").click()
    for digit in digits:
        page.get_by_role("button", name=digit, exact=True).click()
    page.get_by_role("button", name=re.compile("^Keep")).click()
    expect(page.locator(".lately")).to_contain_text("kept")


def weights_on_server() -> dict[str, list[int]]:
    from matches.models import WeighIn

    found: dict[str, list[int]] = {}
    for row in WeighIn.objects.select_related("section_peg__peg").order_by("weight"):
        found.setdefault(row.section_peg.peg.number, []).append(row.weight)
    return found


def plan_for(world: Any, first: str) -> None:
    from bait import models as b

    plan = b.Plan.objects.create(entry=world.entries[first])
    stage = b.Stage.objects.create(
        plan=plan, position=1, kind="feed", line="long", end_minute=60, every_seconds=300
    )
    b.StageFeed.objects.create(stage=stage, bait=world.baits["caster"], amount="0.25", unit="pint")


def test_a_day_without_signal_ends_with_everything_on_the_server(
    signed_in: Callable[..., Page], lasting_world: Any
) -> None:
    from matches.models import Fact, FactKind

    plan_for(lasting_world, "Maud")
    lasting_world.club.memberships.create(
        person=lasting_world.captain, role="weigher", match=lasting_world.match
    )
    page = signed_in("maud")
    open_match(page)
    page.context.set_offline(True)
    page.reload()
    expect(page.get_by_role("heading", name="June Open")).to_be_visible()
    expect(signal(page)).to_have_attribute("data-signal", "no_signal")

    go(page, "Weigh in")
    weigh(page, "1", "4250")
    weigh(page, "2", "980")
    go(page, "Back")
    go(page, "Log feed")
    throw = page.get_by_role("button", name="Caster 0.25 pint · long")
    throw.click()
    expect(count(page, "kept")).to_have_text("3")
    throw.click()
    expect(count(page, "kept")).to_have_text("4")

    page.reload()
    expect(count(page, "kept")).to_have_text("4")
    expect(page.locator(".log li")).to_have_count(2)
    expect(page.locator(".total")).to_have_text("So far: 0.5 pint Caster")
    assert Fact.objects.count() == 0

    page.context.set_offline(False)
    expect(count(page, "kept")).to_have_text("0")
    expect(count(page, "sent")).to_have_text("4")
    assert weights_on_server() == {"1": [4250], "2": [980]}
    assert sorted(Fact.objects.values_list("seq", "kind", "author__username")) == [
        (1, FactKind.WEIGH_IN, "maud"),
        (2, FactKind.WEIGH_IN, "maud"),
        (3, FactKind.FEED_NOTE, "maud"),
        (4, FactKind.FEED_NOTE, "maud"),
    ]
