"""The phone's disk: full, wiped, forgetful, held by an older tab, or written by an older build."""

from __future__ import annotations

import json
from collections.abc import Callable
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import Page, Route, expect, sync_playwright

from tests.browser.bank_phone import (
    count,
    go,
    go_to_match,
    open_match,
    outcomes_on_phone,
    rest_here,
    signal,
    weigh,
    weights_on_server,
)
from tests.browser.conftest import ARGS, WITHOUT_WINDOWS, sign_in
from tests.browser.test_bank_faults import type_weight
from tests.builds.recorded import DATABASES, as_recorded, came, name_of, posts_of

WRITE_AS = """({version, stores, rows}) => new Promise((written) => {
  indexedDB.deleteDatabase("drawbag-bank").onsuccess = () => {
    const opening = indexedDB.open("drawbag-bank", version);
    opening.onupgradeneeded = () => {
      for (const [name, {keyPath, indexes}] of Object.entries(stores)) {
        const store = opening.result.createObjectStore(name, {keyPath});
        for (const index of indexes) store.createIndex(...index);
      }
    };
    opening.onsuccess = () => {
      const db = opening.result;
      const all = db.transaction(Object.keys(rows), "readwrite");
      for (const [name, some] of Object.entries(rows)) {
        for (const row of some) all.objectStore(name).add(row);
      }
      all.oncomplete = () => { db.close(); written(); };
    };
  };
})"""


@pytest.mark.fault("phone database of an earlier build")
@pytest.mark.parametrize("build", DATABASES, ids=name_of)
def test_a_database_of_an_earlier_build_comes_up_to_date_with_all_that_is_unsent(
    signed_in: Callable[..., Page], lasting_world: Any, build: dict[str, Any]
) -> None:
    from matches.models import Fact

    as_recorded(lasting_world)
    for post in posts_of(build):
        if post["path"].endswith("/keys"):
            came(lasting_world, post)
    page = signed_in("tamsin", desk=False)
    page.goto("/healthz")
    page.evaluate(WRITE_AS, build)
    with page.expect_response(
        lambda reply: reply.request.method == "POST" and reply.url.endswith("/facts")
    ):
        page.goto("/bank/")
    rows = build["rows"]["facts"]
    own = [row for row in rows if row["person"] != "carried"]
    expect(count(page, "sent")).to_have_text(str(len(own)))
    expect(count(page, "kept")).to_have_text("0")
    assert {str(fact.pk) for fact in Fact.objects.all()} == {row["id"] for row in rows}


# Another tab with the database open that does not let go when asked.
HOLD = """() => new Promise((held) => {
  indexedDB.open("drawbag-bank").onsuccess = (opened) => {
    window.letGo = () => opened.target.result.close();
    held();
  };
})"""
NEXT_VERSION = 'db.version(99).stores({ later: "&id" });\n  db.on("versionchange"'


@pytest.mark.fault("upgrade blocked by an older tab")
def test_an_upgrade_that_an_older_tab_blocks_is_told_in_time_and_goes_on_when_it_lets_go(
    signed_in: Callable[..., Page], lasting_world: Any
) -> None:
    # Without a worker the page's own files can be changed under it.
    page = signed_in("tamsin", desk=False, service_workers="block")
    page.goto("/bank/")
    go_offline_and_weigh(page)
    older = page.context.new_page()
    older.goto("/healthz")
    older.evaluate(HOLD)

    def newer(route: Route) -> None:
        reply = route.fetch()
        text = reply.text()
        assert 'db.on("versionchange"' in text
        changed = text.replace('db.on("versionchange"', NEXT_VERSION)
        headers = {"Content-Type": "text/javascript"}
        route.fulfill(body=changed, headers=headers)

    page.route("**/store.js", newer)
    page.reload()
    expect(page.get_by_text("This phone's storage does not answer")).to_be_visible(timeout=15_000)
    older.evaluate("letGo()")
    page.reload()
    expect(count(page, "sent")).to_have_text("1")
    assert weights_on_server() == {"1": [4250]}


def go_offline_and_weigh(page: Page) -> None:
    """One weigh-in that stays on the phone."""
    go_to_match(page)
    expect(page.get_by_role("link", name="Weigh in", exact=True)).to_be_visible()
    expect(signal(page)).to_have_attribute("data-signal", "ok")
    page.route("**/api/**", lambda route: route.abort())
    go(page, "Weigh in")
    weigh(page, "1", "4250")
    page.unroute("**/api/**")


@pytest.mark.fault("storage wiped")
def test_what_a_wiped_phone_lost_is_told_by_the_numbers_that_never_came(
    at_match: Callable[..., Page], signed_in: Callable[..., Page], lasting_world: Any
) -> None:
    page, desk = at_match("tamsin"), signed_in("idris", desk=False)
    rest_here(page)
    go(page, "Weigh in")
    page.context.set_offline(True)
    for peg in "124":
        weigh(page, peg, "980")

    def all_but_the_second(route: Route) -> None:
        """The second is put off: "later", as when the server was busy with its club."""
        push = route.request.post_data_json
        if route.request.method != "POST" or len(push["facts"]) < 3:
            return route.abort()
        second = push["facts"].pop(1)
        reply = route.fetch(post_data=json.dumps(push))
        said = reply.json()
        said["outcomes"].append({"id": second["id"], "outcome": "later", "after": 300})
        return route.fulfill(response=reply, json=said)

    page.route("**/api/v1/sync/facts", all_but_the_second)
    page.context.set_offline(False)
    expect(count(page, "sent")).to_have_text("2")
    origin = page.evaluate("location.origin")
    page.goto("/healthz")
    page.context.new_cdp_session(page).send(
        "Storage.clearDataForOrigin", {"origin": origin, "storageTypes": "indexeddb"}
    )
    desk.goto(f"/desk/matches/{lasting_world.match.pk}/weigh/")
    expect(desk.get_by_text("1 fact is still to come")).to_be_visible()
    page.unroute("**/api/v1/sync/facts")
    open_match(page)
    expect(count(page, "kept")).to_have_text("0")
    go(page, "Weigh in")
    weigh(page, "5", "700")
    expect(count(page, "sent")).to_have_text("1")
    assert weights_on_server() == {"1": [980], "4": [980], "5": [700]}
    desk.reload()
    expect(desk.get_by_text("1 fact is still to come")).to_be_visible()


@pytest.mark.fault("disk quota spent")
def test_a_spent_quota_is_told_and_what_was_typed_stays(
    bank_built: None, lasting_world: Any, live_server: Any, tmp_path: Path
) -> None:
    # A profile on the disk, for one in memory has no quota; its driver has a thread of its own.
    with ThreadPoolExecutor(1) as one:
        one.submit(quota_spent, tmp_path / "profile", live_server.url).result()
    assert weights_on_server() == {"1": [4250]}


QUOTA = 12 * 1024**2
# Something else of this site takes what room is left, to the last few bytes.
FILL_UP = """async () => {
  const db = await new Promise((opened) => {
    const opening = indexedDB.open("something-else");
    opening.onupgradeneeded = () => opening.result.createObjectStore("s", {autoIncrement: true});
    opening.onsuccess = () => opened(opening.result);
  });
  const take = (size) => new Promise((done) => {
    const all = db.transaction("s", "readwrite", {durability: "strict"});
    all.objectStore("s").add(crypto.getRandomValues(new Uint8Array(size)));
    all.oncomplete = () => done(null);
    all.onabort = () => done(all.error.name);
  });
  let refused = null;
  for (const size of [65_000, 3_000, 100, 10]) {
    for (let n = 0; n < 400 && !(refused = await take(size)); n++);
  }
  return refused;
}"""


def quota_spent(profile: Path, url: str) -> None:
    with sync_playwright() as driver:
        context = driver.chromium.launch_persistent_context(
            str(profile), executable_path=WITHOUT_WINDOWS, args=ARGS, base_url=url
        )
        page = context.pages[0]
        sign_in(page, "tamsin")
        # Before the app comes: the engine asks for the quota ahead, for more than one write.
        tools = context.new_cdp_session(page)
        tools.send("Storage.overrideQuotaForOrigin", {"origin": url, "quotaSize": QUOTA})
        open_match(page)
        go(page, "Weigh in")
        page.locator(".pegs a[href$='/weigh/1']").click()
        type_weight(page)
        assert page.evaluate(FILL_UP) == "QuotaExceededError"
        page.get_by_role("button", name="Keep it").click()
        expect(page.get_by_role("alert").filter(has_text="Not kept.")).to_be_visible()
        expect(page.locator(".figure")).to_have_text("4.250 kg")
        expect(page.locator(".lately")).to_be_empty()
        assert outcomes_on_phone(page) == []
        tools.send("Storage.overrideQuotaForOrigin", {"origin": url})
        page.get_by_role("button", name="Keep it").click()
        expect(count(page, "sent")).to_have_text("1")
        context.close()
