"""The day's signals on a phone: in the venue's time, offline, given, changed, called off."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable
from typing import Any

from playwright.sync_api import Page, expect

from matches.models import Fact
from matches.reads.signals import start_given
from matches.writes.matches import match_call_off, match_end_shift

from .bank_phone import count, open_match, signal

PageAt = Callable[..., Page]
LOCAL = dt.timezone(dt.timedelta(hours=2))


def day_begins(world: Any) -> dt.datetime:
    """The match starts in 30 minutes and lasts an hour, at a venue two hours ahead of UTC."""
    world.venue.timezone = "Etc/GMT-2"  # POSIX's sign: east of Greenwich
    world.venue.save()
    start = dt.datetime.now(dt.UTC).replace(second=0, microsecond=0) + dt.timedelta(minutes=30)
    match = world.match
    match.draw_at, match.feed_at = start - dt.timedelta(hours=2), start - dt.timedelta(minutes=10)
    match.start_at, match.end_at, match.last_call_min = start, start + dt.timedelta(hours=1), 5
    match.date = start.astimezone(LOCAL).date()
    match.save()
    return start


def at_venue(moment: dt.datetime) -> str:
    return f"{moment.astimezone(LOCAL):%H:%M}"


def rows(page: Page) -> Any:
    return page.locator(".signals li")


def test_without_signal_the_next_signal_and_the_time_left_go_on_in_the_venues_time(
    lasting_world: Any, signed_in: PageAt, axe_violations: Callable[[Page], list[str]]
) -> None:
    start = day_begins(lasting_world)
    page = signed_in("maud", timezone_id="America/New_York")
    page.clock.install()
    open_match(page)
    expect(page.locator(".clock-label")).to_have_text("Feed in")
    expect(rows(page)).to_have_count(5)
    expect(rows(page).nth(2)).to_contain_text(f"{at_venue(start)} Start")
    page.context.set_offline(True)
    page.reload()
    expect(page.locator(".clock-label")).to_have_text("Feed in")
    page.clock.fast_forward("21:00")
    expect(page.locator(".clock-label")).to_have_text("Start in")
    expect(page.locator(".signals .is-next")).to_contain_text("Start")
    assert (
        page.locator(".clock-figure").evaluate("e => parseFloat(getComputedStyle(e).fontSize)") > 40
    )
    assert axe_violations(page) == []
    page.clock.fast_forward("15:00")
    expect(page.locator(".clock-label")).to_have_text("Last call in")
    page.clock.fast_forward("01:00:00")
    expect(page.locator(".clock-label")).to_have_text("Time is up")
    expect(page.locator(".clock-figure")).to_have_text(
        f"since {at_venue(start + dt.timedelta(hours=1))}"
    )
    expect(page.get_by_text("Power lines cross below peg 6")).to_be_visible()


def test_a_start_given_late_shows_at_once_and_the_end_when_the_secretary_moves_it(
    lasting_world: Any, signed_in: PageAt
) -> None:
    start = day_begins(lasting_world)
    page = signed_in("tamsin")
    page.clock.install()
    open_match(page)
    expect(page.get_by_role("button", name="Start", exact=True)).to_be_visible()
    page.context.set_offline(True)
    page.clock.fast_forward("37:00")
    expect(page.locator(".clock-label")).to_have_text("Last call in")
    page.get_by_role("button", name="Start", exact=True).click()
    expect(rows(page).nth(2)).to_contain_text(f"given, planned {at_venue(start)}")
    end = start + dt.timedelta(hours=1)
    expect(rows(page).last).to_contain_text(at_venue(end))
    page.context.set_offline(False)
    expect(count(page, "sent")).to_have_text("1")
    assert Fact.objects.get().body == {"signal": "start"}
    given = start_given(lasting_world.match)
    assert given is not None
    moved = match_end_shift(lasting_world.secretary, match=lasting_world.match)
    assert moved.end_at == end + dt.timedelta(minutes=given.late)
    page.reload()
    expect(signal(page)).to_have_attribute("data-signal", "ok")
    note = page.get_by_role("status").filter(has_text="The times changed")
    expect(note).to_contain_text(f"All out: {at_venue(moved.end_at)}, was {at_venue(end)}")
    expect(rows(page).last).to_contain_text(at_venue(moved.end_at))
    note.get_by_role("button", name="Seen").click()
    expect(note).to_have_count(0)
    page.reload()
    expect(rows(page).last).to_contain_text(at_venue(moved.end_at))
    expect(note).to_have_count(0)


def test_a_match_called_off_says_so_on_the_phone_and_has_no_clock(
    lasting_world: Any, signed_in: PageAt
) -> None:
    match_call_off(
        lasting_world.secretary, match=lasting_world.match, reason="The river is over the bank."
    )
    page = signed_in("tamsin")
    page.goto("/bank/")
    expect(page.locator(".card")).to_contain_text("Called off")
    open_match(page)
    expect(page.get_by_role("heading", name="Called off")).to_be_visible()
    expect(page.get_by_text("The river is over the bank.")).to_be_visible()
    expect(page.locator(".clock")).to_have_count(0)
    expect(page.get_by_role("button", name="Last call")).to_have_count(0)
