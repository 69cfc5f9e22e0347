"""Faults of phone and browser, provoked for real: full disk, killed browser, two tabs, slow air."""

from __future__ import annotations

import os
import re
import signal as signals
from collections.abc import Callable, Iterator
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import Page, expect, sync_playwright

from tests.browser.bank_phone import (
    count,
    go,
    open_match,
    outcomes_on_phone,
    plan_for,
    rest_here,
    signal,
    throw_often,
    weigh,
    weights_on_server,
)
from tests.browser.conftest import ARGS, CHROMIUM, sign_in
from tests.engines.wire import Wire

# A full disk, as the engine tells it. (A profile in memory has no quota to spend for real.)
DISK_FULL = """() => { IDBObjectStore.prototype.add = () => {
  throw new DOMException("The disk is full.", "QuotaExceededError"); }; }"""
# Another tab's transaction that does not end: the next write waits for it.
DISK_HOLD = """() => new Promise((held) => {
  indexedDB.open("drawbag-bank").onsuccess = (opened) => {
    const db = opened.target.result;
    const facts = db.transaction("facts", "readwrite").objectStore("facts");
    window.letGo = () => { window.over = true; };
    const again = () => (window.over ? db.close() : (facts.count().onsuccess = again));
    again();
    held();
  };
})"""


@pytest.mark.fault("disk quota spent")
def test_a_full_disk_is_told_and_what_was_typed_stays(
    signed_in: Callable[..., Page], lasting_world: Any
) -> None:
    page = signed_in("tamsin")
    open_match(page)
    go(page, "Weigh in")
    page.locator(".pegs a[href$='/weigh/1']").click()
    type_weight(page)
    page.evaluate(DISK_FULL)
    page.get_by_role("button", name="Keep it").click()
    expect(page.get_by_role("alert").filter(has_text="Not kept.")).to_be_visible()
    expect(page.locator(".figure")).to_have_text("4.250 kg")
    expect(page.locator(".lately")).to_be_empty()
    assert outcomes_on_phone(page) == []
    assert weights_on_server() == {}


@pytest.mark.fault("database never answers")
def test_a_disk_that_does_not_answer_is_told_and_a_second_try_keeps_one_fact(
    signed_in: Callable[..., Page], lasting_world: Any
) -> None:
    page = signed_in("tamsin")
    open_match(page)
    go(page, "Weigh in")
    page.locator(".pegs a[href$='/weigh/1']").click()
    type_weight(page)
    twin = page.context.new_page()
    twin.goto("/healthz")
    twin.evaluate(DISK_HOLD)
    page.get_by_role("button", name="Keep it").click()
    told = page.get_by_role("alert").filter(has_text="Not kept.")
    expect(told).to_be_visible(timeout=15_000)
    expect(page.locator(".figure")).to_have_text("4.250 kg")
    twin.evaluate("letGo()")
    # The write that was given up may have come through after all: then it reads "correction".
    page.get_by_role("button", name=re.compile("^Keep")).click()
    expect(count(page, "sent")).to_have_text("1")
    expect(told).to_have_count(0)
    assert weights_on_server() == {"1": [4250]}


def type_weight(page: Page) -> None:
    for digit in "4250":
        page.get_by_role("button", name=digit, exact=True).click()


@pytest.mark.fault("two tabs")
def test_two_tabs_have_one_sender_and_each_fact_goes_once(
    signed_in: Callable[..., Page], lasting_world: Any
) -> None:
    from matches.models import Fact

    plan_for(lasting_world, "Maud")
    page = signed_in("maud")
    open_match(page)
    address = page.url + "/feed"
    twin = page.context.new_page()
    sent: list[str] = []
    for tab in (page, twin):
        tab.goto(address)
        expect(tab.locator(".throw").first).to_be_visible()
        expect(signal(tab)).to_have_attribute("data-signal", "ok")
    page.context.set_offline(True)
    for tab in (page, twin, page, twin):
        tab.locator(".throw").first.click()
    expect(count(page, "kept")).to_have_text("4")
    expect(count(twin, "kept")).to_have_text("4")
    page.context.on(
        "request",
        lambda request: (
            sent.extend(fact["id"] for fact in request.post_data_json["facts"])
            if request.method == "POST"
            else None
        ),
    )
    page.context.set_offline(False)
    for tab in (page, twin):
        expect(count(tab, "sent")).to_have_text("4")
    assert sorted(Fact.objects.values_list("seq", flat=True)) == [1, 2, 3, 4]
    assert len(sent) == 4


@pytest.mark.fault("browser killed after kept")
def test_what_was_kept_is_there_after_the_browser_was_killed(
    bank_built: None, lasting_world: Any, live_server: Any, tmp_path: Path
) -> None:
    profile = tmp_path / "profile"
    # Its own driver in a thread of its own: the run's driver is busy with the run's browser.
    with ThreadPoolExecutor(1) as one:
        one.submit(killed_after_kept, profile, live_server.url).result()
        assert weights_on_server() == {}
        one.submit(opened_again, profile, live_server.url).result()
    assert weights_on_server() == {"1": [4250]}


def killed_after_kept(profile: Path, url: str) -> None:
    """Keep one weigh-in without signal, and kill the whole browser the moment it is kept."""
    with sync_playwright() as driver:
        context = driver.chromium.launch_persistent_context(
            str(profile), executable_path=str(CHROMIUM), args=ARGS, base_url=url
        )
        page = context.pages[0]
        sign_in(page, "tamsin")
        open_match(page)
        rest_here(page)
        context.set_offline(True)
        go(page, "Weigh in")
        weigh(page, "1", "4250")
        for pid in processes_with(str(profile)):
            os.kill(pid, signals.SIGKILL)


def opened_again(profile: Path, url: str) -> None:
    with sync_playwright() as driver:
        context = driver.chromium.launch_persistent_context(
            str(profile), executable_path=str(CHROMIUM), args=ARGS, base_url=url
        )
        page = context.pages[0]
        page.goto("/bank/")
        expect(count(page, "kept")).to_have_text("1")
        # The kill took the session's cookie with it, or it did not: sign in as one would.
        context.clear_cookies()
        sign_in(page, "tamsin")
        page.goto("/bank/")
        expect(count(page, "sent")).to_have_text("1")
        context.close()


def processes_with(argument: str) -> list[int]:
    """Our own browser's processes: those whose command line names its profile."""
    found = []
    for entry in Path("/proc").iterdir():
        if not entry.name.isdigit() or int(entry.name) == os.getpid():
            continue
        try:
            line = (entry / "cmdline").read_bytes().decode(errors="replace")
        except OSError:
            continue
        if f"--user-data-dir={argument}" in line:
            found.append(int(entry.name))
    return found


@pytest.fixture
def wire(lasting_world: Any, live_server: Any) -> Iterator[Wire]:
    between = Wire(live_server.thread.port)
    yield between
    between.cut()


@pytest.mark.fault("flapping signal")
def test_a_hundred_facts_go_out_through_signal_that_comes_and_goes_every_200_ms(
    signed_in: Callable[..., Page], lasting_world: Any, wire: Wire
) -> None:
    from matches.models import Fact

    plan_for(lasting_world, "Maud")
    page = signed_in("maud", base_url=wire.url)
    open_match(page)
    rest_here(page)
    page.goto(page.url + "/feed")
    expect(page.locator(".throw").first).to_be_visible()
    cut: list[str] = []
    page.on("requestfailed", lambda request: cut.append(request.url))
    with wire.flapping(0.2):
        throw_often(page, 100)
        page.get_by_role("link", name="What is on this phone").click()
        # It tries by itself every few seconds; whoever stands there presses the button.
        page.wait_for_function(
            """() => {
              const sent = document.querySelector("[data-count=sent] b").textContent.trim();
              const send = document.querySelector("[data-list=kept] button");
              if (sent !== "100") send?.click();  // once it is drawn
              return sent === "100";
            }""",
            polling=300,
            timeout=60_000,
        )
    assert cut
    assert sorted(Fact.objects.values_list("seq", flat=True)) == list(range(1, 101))


@pytest.mark.fault("clock ten years off")
def test_a_phone_ten_years_ahead_changes_no_standing(
    signed_in: Callable[..., Page], lasting_world: Any
) -> None:
    from matches.models import Fact

    page = signed_in("tamsin")
    page.clock.set_system_time("2036-06-20T12:00:00Z")
    open_match(page)
    go(page, "Weigh in")
    weigh(page, "1", "4250")
    weigh(page, "1", "4150")
    expect(count(page, "sent")).to_have_text("2")
    assert weights_on_server() == {"1": [4150]}
    assert all(
        offset < -(10**11) for offset in Fact.objects.values_list("clock_offset_ms", flat=True)
    )
