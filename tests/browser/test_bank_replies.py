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


# What stands before the server answers everything; what happens on the way, the push alone.
ALL = "**/api/**"


def cafe(route: Route) -> None:
    route.fulfill(status=200, content_type="text/html", body="<h1>Café</h1>")


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


# The last three correct what was weighed before.
WEIGHED = [(peg, "4250") for peg in "1245"] + [(peg, "4150") for peg in "124"]


def lost(route: Route) -> None:
    """The server does it all, and nothing of what it says comes through."""
    assert route.fetch().status == 200
    route.abort()


@pytest.mark.fault("page of a captive network")
@pytest.mark.fault("redirect of a captive network")
@pytest.mark.fault("gateway without a server (502, 504)")
@pytest.mark.fault("request lost before the server")
@pytest.mark.fault("reply cut short")
@pytest.mark.fault("reply lost after commit")
def test_whatever_answers_in_the_servers_place_takes_nothing_from_the_phone(
    at_match: Callable[..., Page], lasting_world: Any
) -> None:
    from matches.models import Fact

    page = at_match("tamsin")
    go(page, "Weigh in")
    faults: list[tuple[str, Handler, str]] = [
        (ALL, cafe, "no_signal"),
        (PUSH, portal, "no_signal"),
        (PUSH, gateway(502), "busy"),
        (PUSH, gateway(504), "busy"),
        (PUSH, lambda route: route.abort(), "no_signal"),
        (PUSH, half, "no_signal"),
        (PUSH, lost, "no_signal"),
    ]
    for n, (asked, fault, told) in enumerate(faults):
        page.route(asked, fault)
        weigh(page, *WEIGHED[n])
        expect(signal(page)).to_have_attribute("data-signal", told)
        expect(count(page, "kept")).to_have_text("1")
        assert Fact.objects.count() == n + (fault in (half, lost))
        page.unroute(asked)
        expect(count(page, "sent")).to_have_text(str(n + 1))
    assert outcomes_on_phone(page) == ["accepted"] * 5 + ["duplicate"] * 2
    assert Fact.objects.count() == len(faults)
    assert weights_on_server() == {peg: [int(grams)] for peg, grams in WEIGHED}


@pytest.mark.fault("reply cut short")
@pytest.mark.fault("same id with other content")
def test_a_page_of_facts_cut_short_moves_no_cursor_and_a_taken_id_loses_neither_weight(
    at_match: Callable[..., Page], lasting_world: Any
) -> None:
    other, page = at_match("idris"), at_match("tamsin")
    go(other, "Weigh in")
    before = page.evaluate(CURSORS)
    weigh(other, "2", "4250")
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
    a_fact_whose_id_is_taken_gets_a_new_one_and_both_are_in_sight(page, lasting_world)


def a_fact_whose_id_is_taken_gets_a_new_one_and_both_are_in_sight(page: Page, world: Any) -> None:
    from matches.models import Fact
    from matches.writes.facts import facts_store, match_body_checks

    rest_here(page)
    page.goto(f"/bank/#/match/{world.match.pk}/weigh")
    page.context.set_offline(True)
    weigh(page, "1", "4250")
    (mine,) = [fact for fact in page.evaluate(KEPT) if fact["peg"] == "1"]
    theirs = mine | {"device": mine["id"], "body": mine["body"] | {"weight": 980}}
    facts_store(world.rival, facts=[theirs], body_checks=match_body_checks())
    page.context.set_offline(False)
    expect(count(page, "sent")).to_have_text("1")
    assert weights_on_server() == {"1": [980, 4250], "2": [4250]}
    assert str(Fact.objects.get(author=world.rival).pk) == mine["id"]
    expect(page.locator(".pegs a[href$='/weigh/1']")).to_contain_text("to settle")
    page.locator(".pegs a[href$='/weigh/1']").click()
    expect(page.locator(".before")).to_contain_text(["0.980 kg", "4.250 kg"])


@pytest.mark.fault("token rotated")
@pytest.mark.fault("asked to wait (429)")
def test_a_changed_token_is_fetched_anew_at_once_and_who_is_asked_to_wait_waits_as_long(
    at_match: Callable[..., Page], lasting_world: Any
) -> None:
    page = at_match("tamsin")
    go(page, "Weigh in")
    answered: list[int] = []
    pushed: list[float] = []

    def rotated(route: Route) -> None:
        """What the page sends is the token it had; the server's own answer is passed on."""
        if route.request.method != "POST":
            return route.fallback()
        stale = {"x-csrftoken": "s" * 32} if not answered else {}
        reply = route.fetch(headers=route.request.all_headers() | stale)
        answered.append(reply.status)
        return route.fulfill(response=reply)

    def slow_down(route: Route) -> None:
        if route.request.method != "POST":
            return route.fallback()
        pushed.append(time.monotonic())
        if len(pushed) > 1:
            return route.fallback()
        return route.fulfill(status=429, headers={"Retry-After": "3"}, body="")

    page.route(PUSH, rotated)
    weigh(page, "1", "4250")
    expect(count(page, "sent")).to_have_text("1")
    assert answered == [403, 200]
    page.unroute(PUSH)
    page.route(PUSH, slow_down)
    weigh(page, "2", "980")
    expect(signal(page)).to_have_attribute("data-signal", "busy")
    expect(count(page, "sent")).to_have_text("2", timeout=20_000)
    assert pushed[1] - pushed[0] >= 3
    assert weights_on_server() == {"1": [4250], "2": [980]}


@pytest.mark.fault("batch too large (413)")
@pytest.mark.fault("slow line with a long delay")
def test_a_batch_too_large_goes_in_halves_and_a_hundred_facts_through_50_kilobits_and_two_seconds(
    at_match: Callable[..., Page], lasting_world: Any
) -> None:
    from matches.models import Fact

    plan_for(lasting_world, "Maud")
    page = at_match("maud")
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
    page.unroute(PUSH)
    line = page.context.new_cdp_session(page)
    slow = {"offline": False, "latency": 2000}
    bytes_a_second = {"downloadThroughput": 50_000 / 8, "uploadThroughput": 50_000 / 8}
    line.send("Network.emulateNetworkConditions", slow | bytes_a_second)
    throw_often(page, 100)
    expect(count(page, "sent")).to_have_text("105", timeout=60_000)
    assert sorted(Fact.objects.values_list("seq", flat=True)) == list(range(1, 106))


KEPT = CURSORS.replace('"meta"', '"facts"').replace(
    """const rows = got.target.result.filter((row) => row.key.startsWith("cursor:"));
      resolve(rows.map((row) => row.next));""",
    "resolve(got.target.result.map((row) => row.fact));",
)
