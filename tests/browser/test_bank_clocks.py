"""Clocks, zones and summer time of phones, and how soon the app is there: nothing turns on them."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable
from typing import Any
from zoneinfo import ZoneInfo

import pytest
from django.core.servers.basehttp import WSGIRequestHandler
from playwright.sync_api import Browser, BrowserContext, Page, expect
from pytest_django.live_server_helper import LiveServer

from tests.browser.bank_phone import (
    count,
    go,
    open_match,
    rest_here,
    signal,
    weigh,
    weights_on_server,
)
from tests.browser.conftest import let_in, window_of

# Each weigh-in corrects the one before; so the last stands, whatever the phone believes.
CLOCKS = [
    ("4250", "2036-06-20T12:00:30Z", "Europe/London"),
    ("4150", "2016-06-20T12:00:00Z", "Europe/London"),
    ("4050", "2026-06-20T12:00:00Z", "Pacific/Kiritimati"),
    ("3950", "2026-06-20T12:00:00Z", "Pacific/Pago_Pago"),
    ("3850", "2026-10-25T00:59:59Z", "Europe/London"),  # 01:59:59 in summer time
    ("3750", "2026-10-25T01:00:30Z", "Europe/London"),  # 01:00:30 in winter time
    ("3650", "2026-03-29T00:59:59Z", "Europe/London"),  # a second before 02:00
]


@pytest.mark.fault("clock ten years off")
@pytest.mark.fault("zone and summer time")
def test_a_phones_clock_and_zone_change_no_standing_and_its_times_are_the_venues(
    signed_in: Callable[..., Page], lasting_world: Any
) -> None:
    """Opened with a clock ten years ahead, and started anew without signal."""
    from matches.models import Fact

    page = signed_in("tamsin", desk=False)
    page.clock.set_system_time("2036-06-20T12:00:00Z")
    open_match(page)
    rest_here(page)
    go(page, "Weigh in")
    weigh(page, "1", "4350")
    expect(count(page, "sent")).to_have_text("1")
    tools = page.context.new_cdp_session(page)
    page.context.set_offline(True)
    page.reload()
    for weight, clock, zone in CLOCKS:
        tools.send("Emulation.setTimezoneOverride", {"timezoneId": zone})
        page.clock.set_system_time(clock)
        weigh(page, "1", weight)
    tools.send("Emulation.setTimezoneOverride", {"timezoneId": "Pacific/Auckland"})
    page.goto("/bank/#/phone")
    shown = page.locator("[data-list=kept] .log-time")
    expect(shown).to_have_count(len(CLOCKS))
    times = shown.all_inner_texts()
    page.context.set_offline(False)
    page.get_by_role("button", name="Send now").click()
    expect(count(page, "sent")).to_have_text(str(1 + len(CLOCKS)))
    assert weights_on_server() == {"1": [3650]}
    first, *order = Fact.objects.order_by("cseq")
    assert [str(fact.body["weight"]) for fact in order] == [weight for weight, *_ in CLOCKS]
    written = [fact.recorded_at.strftime("%Y-%m-%dT%H:%M") for fact in order]
    assert written == [clock[:16] for _, clock, _ in CLOCKS]
    zone = ZoneInfo(lasting_world.venue.timezone)
    assert sorted(times) == sorted(real(fact).astimezone(zone).strftime("%H:%M") for fact in order)
    # By how much the clock was off, as last seen: of a start without signal too.
    assert all(fact.clock_offset_ms < -(10**11) for fact in (first, *order))
    for fact in (first, order[0]):
        assert abs(real(fact) - fact.received_at) < dt.timedelta(minutes=5)


def real(fact: Any) -> dt.datetime:
    """When a fact was logged by the server's clock, as its phone last saw that."""
    logged: dt.datetime = fact.recorded_at + dt.timedelta(milliseconds=fact.clock_offset_ms)
    return logged


COLD_MS, WARM_MS = 2_000, 1_000
# From the start of the navigation to the first heading of the app, by the browser's own clock.
SHOWN = """() => new Promise((seen) => {
  const look = () => (document.querySelector("h1")?.checkVisibility()
    ? seen(performance.now()) : requestAnimationFrame(look));
  look();
})"""


@pytest.mark.fault("started without signal")
@pytest.mark.fault("started while the server is dead")
def test_the_app_starts_in_time_without_network_or_server_and_says_which(
    browser: Browser,
    bank_built: None,
    lasting_world: Any,
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    # No line is kept open, which a stopped server would go on answering.
    monkeypatch.setattr(WSGIRequestHandler, "protocol_version", "HTTP/1.0")
    server = LiveServer("localhost")  # of its own, to be stopped
    context = browser.new_context(viewport=window_of(360), base_url=server.url, locale="en-GB")
    try:
        page = context.new_page()
        let_in(context, "tamsin", server.url)
        open_match(page)
        rest_here(page)
        address = page.url
        page.close()
        context.set_offline(True)
        starts_in_time(context, address, told="no signal")
        context.set_offline(False)
        server.stop()
        starts_in_time(context, address, told="no answer")
    finally:
        context.close()


def starts_in_time(context: BrowserContext, address: str, *, told: str) -> None:
    page = context.new_page()
    page.goto(address)
    taken = [page.evaluate(SHOWN)]
    for _ in range(3):
        page.reload()
        taken.append(page.evaluate(SHOWN))
    expect(signal(page)).to_have_attribute("data-signal", "no_signal")
    expect(signal(page)).to_contain_text(told)
    expect(page.get_by_role("heading", name="June Open")).to_be_visible()
    page.close()
    # The least of three: what else this machine does is not the app's.
    assert taken[0] < COLD_MS
    assert min(taken[1:]) < WARM_MS
