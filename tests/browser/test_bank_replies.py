"""What the air makes of a reply: redirected, cut short, too large, too soon; nothing leaves."""

from __future__ import annotations

import time
from collections.abc import Callable
from typing import Any

import pytest
from playwright.sync_api import Page, Route, expect

from tests.browser.bank_phone import (
    PUSH,
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

Handler = Callable[[Route], None]
CURSORS = """() => new Promise((resolve) => {
  indexedDB.open("drawbag-bank").onsuccess = (opened) => {
    const db = opened.target.result;
    db.transaction("meta").objectStore("meta").getAll().onsuccess = (got) => {
      db.close();
      const rows = got.target.result.filter((row) => row.key.startsWith("cursor:"));
      resolve(rows.map((row) => row.next));
    };
  };
})"""


def portal(route: Route) -> None:
    route.fulfill(status=302, headers={"Location": "http://127.0.0.1:9/sign-in-to-our-network"})


def gateway(status: int) -> Handler:
    page = "<h1>Bad gateway</h1>"
    return lambda route: route.fulfill(status=status, content_type="text/html", body=page)


def half(route: Route) -> None:
    """The server does it all, and half of what it says comes through."""
    reply = route.fetch()
    text = reply.text()
    route.fulfill(status=reply.status, headers=reply.headers, body=text[: len(text) // 2])


@pytest.mark.fault("redirect of a captive network")
@pytest.mark.fault("gateway without a server (502, 504)")
@pytest.mark.fault("request lost before the server")
@pytest.mark.fault("reply cut short")
def test_whatever_answers_in_the_servers_place_takes_nothing_from_the_phone(
    signed_in: Callable[..., Page], lasting_world: Any
) -> None:
    from matches.models import Fact

    page = signed_in("tamsin")
    open_match(page)
    go(page, "Weigh in")
    faults: list[tuple[Handler, str]] = [
        (portal, "no_signal"),
        (gateway(502), "busy"),
        (gateway(504), "busy"),
        (lambda route: route.abort(), "no_signal"),
        (half, "no_signal"),
    ]
    for n, (fault, told) in enumerate(faults):
        page.route(PUSH, fault)
        weigh(page, "12456"[n], "4250")
        expect(signal(page)).to_have_attribute("data-signal", told)
        expect(count(page, "kept")).to_have_text("1")
        assert Fact.objects.count() == n + (fault is half)
        page.unroute(PUSH)
        expect(count(page, "sent")).to_have_text(str(n + 1))
    assert outcomes_on_phone(page) == ["accepted"] * 4 + ["duplicate"]
    assert weights_on_server() == {peg: [4250] for peg in "12456"}


@pytest.mark.fault("reply cut short")
def test_a_page_of_facts_cut_short_moves_no_cursor(
    signed_in: Callable[..., Page], lasting_world: Any
) -> None:
    other = signed_in("idris")
    open_match(other)
    go(other, "Weigh in")
    page = signed_in("tamsin")
    open_match(page)
    before = page.evaluate(CURSORS)
    weigh(other, "1", "4250")
    expect(count(other, "sent")).to_have_text("1")
    page.route("**/api/v1/sync/facts?*", half)
    page.goto("/bank/#/phone")
    page.get_by_role("button", name="Send now").click()
    expect(signal(page)).to_have_attribute("data-signal", "no_signal")
    assert page.evaluate(CURSORS) == before
    page.unroute("**/api/v1/sync/facts?*")
    page.get_by_role("button", name="Send now").click()
    expect(signal(page)).to_have_attribute("data-signal", "ok")
    assert page.evaluate(CURSORS) != before


@pytest.mark.fault("asked to wait (429)")
def test_who_is_asked_to_wait_waits_as_long_as_that(
    signed_in: Callable[..., Page], lasting_world: Any
) -> None:
    page = signed_in("tamsin")
    open_match(page)
    go(page, "Weigh in")
    pushed: list[float] = []

    def slow_down(route: Route) -> None:
        if route.request.method != "POST":
            return route.fallback()
        pushed.append(time.monotonic())
        if len(pushed) > 1:
            return route.fallback()
        return route.fulfill(status=429, headers={"Retry-After": "3"}, body="")

    page.route(PUSH, slow_down)
    weigh(page, "1", "4250")
    expect(signal(page)).to_have_attribute("data-signal", "busy")
    expect(count(page, "sent")).to_have_text("1", timeout=20_000)
    assert pushed[1] - pushed[0] >= 3


@pytest.mark.fault("batch too large (413)")
def test_a_batch_too_large_for_a_proxy_goes_in_halves(
    signed_in: Callable[..., Page], lasting_world: Any
) -> None:
    plan_for(lasting_world, "Maud")
    page = signed_in("maud")
    open_match(page)
    rest_here(page)
    page.goto(page.url + "/feed")
    page.context.set_offline(True)
    for n in range(5):
        page.locator(".throw").first.click()
        expect(count(page, "kept")).to_have_text(str(n + 1))
    sizes: list[int] = []

    def narrow(route: Route) -> None:
        if route.request.method != "POST":
            return route.fallback()
        sizes.append(len(route.request.post_data_json["facts"]))
        if sizes[-1] <= 2:
            return route.fallback()
        return route.fulfill(status=413, content_type="text/html", body="<h1>Too large</h1>")

    page.route(PUSH, narrow)
    page.context.set_offline(False)
    expect(count(page, "sent")).to_have_text("5")
    assert sizes == [5, 3, 2, 2, 1]


@pytest.mark.fault("token rotated")
def test_a_token_that_was_changed_is_fetched_anew_and_the_batch_goes_out_at_once(
    signed_in: Callable[..., Page], lasting_world: Any
) -> None:
    page = signed_in("tamsin")
    open_match(page)
    go(page, "Weigh in")
    answered: list[int] = []

    def rotated(route: Route) -> None:
        """What the page sends is the token it had; the server's own answer is passed on."""
        if route.request.method != "POST":
            return route.fallback()
        stale = {"x-csrftoken": "s" * 32} if not answered else {}
        reply = route.fetch(headers=route.request.all_headers() | stale)
        answered.append(reply.status)
        return route.fulfill(response=reply)

    page.route(PUSH, rotated)
    weigh(page, "1", "4250")
    expect(count(page, "sent")).to_have_text("1")
    assert answered == [403, 200]
    assert weights_on_server() == {"1": [4250]}


@pytest.mark.fault("slow line with a long delay")
def test_a_hundred_facts_get_through_a_line_of_50_kilobits_with_two_seconds_delay(
    signed_in: Callable[..., Page], lasting_world: Any
) -> None:
    from matches.models import Fact

    plan_for(lasting_world, "Maud")
    page = signed_in("maud")
    open_match(page)
    page.goto(page.url + "/feed")
    expect(page.locator(".throw").first).to_be_visible()
    line = page.context.new_cdp_session(page)
    slow = {"offline": False, "latency": 2000}
    bytes_a_second = {"downloadThroughput": 50_000 / 8, "uploadThroughput": 50_000 / 8}
    line.send("Network.emulateNetworkConditions", slow | bytes_a_second)
    throw_often(page, 100)
    expect(count(page, "sent")).to_have_text("100", timeout=60_000)
    assert sorted(Fact.objects.values_list("seq", flat=True)) == list(range(1, 101))


@pytest.mark.fault("same id with other content")
def test_a_fact_whose_id_is_taken_gets_a_new_one_and_both_are_in_sight(
    signed_in: Callable[..., Page], lasting_world: Any
) -> None:
    from matches.models import Fact
    from matches.writes.facts import facts_store, match_body_checks

    page = signed_in("tamsin")
    open_match(page)
    rest_here(page)
    go(page, "Weigh in")
    page.context.set_offline(True)
    weigh(page, "1", "4250")
    (mine,) = page.evaluate(KEPT)
    theirs = mine | {"device": mine["id"], "body": mine["body"] | {"weight": 980}}
    facts_store(lasting_world.rival, facts=[theirs], body_checks=match_body_checks())
    page.context.set_offline(False)
    expect(count(page, "sent")).to_have_text("1")
    assert weights_on_server() == {"1": [980, 4250]}
    assert str(Fact.objects.get(author=lasting_world.rival).pk) == mine["id"]
    expect(page.locator(".pegs a[href$='/weigh/1']")).to_contain_text("to settle")
    page.locator(".pegs a[href$='/weigh/1']").click()
    expect(page.locator(".before")).to_contain_text(["0.980 kg", "4.250 kg"])


KEPT = CURSORS.replace('"meta"', '"facts"').replace(
    """const rows = got.target.result.filter((row) => row.key.startsWith("cursor:"));
      resolve(rows.map((row) => row.next));""",
    "resolve(got.target.result.map((row) => row.fact));",
)
