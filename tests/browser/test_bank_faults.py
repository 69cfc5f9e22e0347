"""Faults of phone and browser, provoked for real: a hanging disk, two tabs, flapping air."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator
from typing import Any

import pytest
from playwright.sync_api import Page, Route, expect

from tests.browser.bank_phone import (
    count,
    go,
    plan_for,
    rest_here,
    signal,
    throw_often,
    weigher_with_plan,
    weights_on_server,
)
from tests.engines.wire import Wire

# Another tab's transaction that does not end: the next write waits for it. That tab stands still in
# the middle of it, until it is answered.
DISK_HOLD = """() => new Promise((held) => {
  indexedDB.open("drawbag-bank").onsuccess = (opened) => {
    const db = opened.target.result;
    const facts = db.transaction("facts", "readwrite").objectStore("facts");
    facts.count().onsuccess = () => {
      facts.count().onsuccess = () => {
        const asked = new XMLHttpRequest();
        asked.open("GET", "/held", false);
        asked.send();
        db.close();
      };
      held();
    };
  };
})"""


@pytest.mark.fault("database never answers")
def test_a_disk_that_does_not_answer_is_told_and_a_second_try_keeps_one_fact(
    at_match: Callable[..., Page], lasting_world: Any
) -> None:
    page = at_match("tamsin")
    go(page, "Weigh in")
    page.locator(".pegs a[href$='/weigh/1']").click()
    type_weight(page)
    twin = page.context.new_page()
    twin.goto("/healthz")
    holding: list[Route] = []
    twin.route("**/held", lambda route: holding.append(route))
    with twin.expect_request("**/held"):
        twin.evaluate(DISK_HOLD)
    page.get_by_role("button", name="Keep it").click()
    told = page.get_by_role("alert").filter(has_text="Not kept.")
    expect(told).to_be_visible(timeout=15_000)
    expect(page.locator(".figure")).to_have_text("4.250 kg")
    holding.pop().fulfill(body="")
    # The write that was given up may have come through after all: then it reads "correction".
    page.get_by_role("button", name=re.compile("^Keep")).click()
    expect(count(page, "sent")).to_have_text("1")
    expect(told).to_have_count(0)
    assert weights_on_server() == {"1": [4250]}


def type_weight(page: Page) -> None:
    for digit in "4250":
        page.get_by_role("button", name=digit, exact=True).click()


@pytest.mark.fault("two tabs")
@pytest.mark.fault("same draft in two tabs")
def test_two_tabs_have_one_sender_and_of_the_same_weight_typed_in_both_one_stands(
    at_match: Callable[..., Page], lasting_world: Any
) -> None:
    from matches.models import Fact

    world = lasting_world
    weigher_with_plan(world)
    page = at_match("maud")
    rest_here(page)
    address = page.url
    twin = page.context.new_page()
    for tab in (page, twin):
        tab.goto(f"{address}/feed")
        expect(tab.locator(".throw").first).to_be_visible()
        expect(signal(tab)).to_have_attribute("data-signal", "ok")
    page.context.set_offline(True)
    for tab in (page, twin, page, twin):
        tab.locator(".throw").first.click()
    for tab in (page, twin):
        expect(count(tab, "kept")).to_have_text("4")
        tab.goto(f"{address}/weigh/1")
        type_weight(tab)
    for tab, kept in ((page, "5"), (twin, "6")):
        tab.get_by_role("button", name="Keep").click()
        expect(tab.locator(".lately")).to_contain_text("kept")
        # Each tab has heard of it before the other's weight is kept.
        for knows in (page, twin):
            expect(count(knows, "kept")).to_have_text(kept)
    sent: list[str] = []
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
        expect(count(tab, "sent")).to_have_text("6")
    assert sorted(Fact.objects.values_list("seq", flat=True)) == [1, 2, 3, 4, 5, 6]
    assert len(sent) == len(set(sent)) == 6
    assert Fact.objects.filter(kind="weigh_in").values("pk").distinct().count() == 2
    assert weights_on_server() == {"1": [4250]}


@pytest.fixture
def wire(lasting_world: Any, live_server: Any) -> Iterator[Wire]:
    between = Wire(live_server.thread.port)
    yield between
    between.cut()


@pytest.mark.fault("flapping signal")
def test_a_hundred_facts_go_out_through_signal_that_comes_and_goes_every_200_ms(
    at_match: Callable[..., Page], lasting_world: Any, wire: Wire
) -> None:
    from matches.models import Fact

    plan_for(lasting_world, "Maud")
    page = at_match("maud", base_url=wire.url)
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
