"""What comes after the first load: all of it offline after one visit, and in words when missing."""

from __future__ import annotations

import re
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import Page, Route, expect

from tests.browser.bank_phone import go, open_match, rest_here, signal

PLAN = "**/static/bank/screens/plan.js*"
PACK = "**/static/bank/later.json"
MISSING = "This part is not on the phone yet: it comes with the next signal."
OFFER = "Use it now"
# Look for a new version, wait until its worker stands or has given up, and tell which.
TRIED = """async () => {
  const found = await navigator.serviceWorker.getRegistration();
  await found.update();
  const coming = found.installing;  // none: done already
  if (coming) {
    await new Promise((resolve) =>
      coming.addEventListener("statechange", resolve, { once: true }));
  }
  return found.waiting !== null;
}"""
# An engine may take a second look for part of one that still ends: look until it is here.
HERE = """async () => {
  const found = await navigator.serviceWorker.getRegistration();
  while (!found.waiting) {
    await found.update();
    await new Promise(requestAnimationFrame);
  }
}"""


@pytest.fixture
def bank_without_plan(
    signed_in: Callable[..., Page],
) -> Callable[[], tuple[Page, list[str]]]:
    """The bank where the first load came and the later group did not."""

    def opened() -> tuple[Page, list[str]]:
        page, asked = signed_in("tamsin", desk=False), []

        def cut(route: Route) -> None:
            asked.append(route.request.url)
            route.abort()

        page.context.route(PACK, cut)
        open_match(page)
        page.wait_for_function("navigator.serviceWorker.controller !== null")
        return page, asked

    return opened


KEPT_FILES = """async () => {
  const names = await caches.keys();
  const keys = await Promise.all(names.map(async (n) => (await caches.open(n)).keys()));
  return [names.length, keys.flat().map((request) => new URL(request.url).pathname).sort()];
}"""


def test_later_parts_open_offline_after_one_visit_and_the_worker_keeps_no_data(
    at_match: Callable[..., Page],
) -> None:
    page = at_match("tamsin")
    rest_here(page)
    caches, kept = page.evaluate(KEPT_FILES)
    assert caches == 1
    assert [path for path in kept if not path.startswith("/static/") and path != "/bank/"] == []
    page.context.set_offline(True)
    answered = page.evaluate("fetch('/api/v1/me').then(() => true, () => false)")
    assert answered is False
    expect(signal(page)).to_have_attribute("data-signal", "no_signal")
    page.reload()
    go(page, "My plan")
    expect(page.get_by_role("heading", name="My plan")).to_be_visible()
    expect(signal(page)).to_have_attribute("data-signal", "no_signal")


def test_a_later_part_that_is_missing_says_so_and_comes_when_asked_again_or_with_the_signal(
    bank_without_plan: Callable[[], tuple[Page, list[str]]],
) -> None:
    page, asked = bank_without_plan()
    go(page, "My plan")
    expect(page.get_by_text(MISSING)).to_be_visible()
    assert asked
    # Nothing of the later group is kept while it does not come.
    assert page.evaluate(KEPT_FILES)[1] == ["/bank/", "/static/bank/first.json"]
    page.context.set_offline(True)
    page.get_by_role("button", name="Try again").click()
    expect(page.get_by_text(MISSING)).to_be_visible()
    page.context.unroute(PACK)
    page.context.set_offline(False)
    expect(page.get_by_role("heading", name="My plan")).to_be_visible()
    page.context.set_offline(True)
    page.reload()
    expect(page.get_by_role("heading", name="My plan")).to_be_visible()


def test_without_a_worker_a_part_that_failed_is_asked_for_again_and_an_open_page_takes_all(
    signed_in: Callable[..., Page],
) -> None:
    """An engine may answer the first failure from memory: only another address asks anew."""
    page = signed_in("tamsin", desk=False, service_workers="block")
    page.route(PLAN, lambda route: route.abort())
    page.goto("/bank/")
    page.get_by_role("link", name="June Open").click()
    go(page, "My plan")
    expect(page.get_by_text(MISSING)).to_be_visible()
    page.get_by_role("button", name="Try again").click()
    expect(page.get_by_text(MISSING)).to_be_visible()
    page.unroute(PLAN)
    page.get_by_role("button", name="Try again").click()
    expect(page.get_by_role("heading", name="My plan")).to_be_visible()
    all_of_the_app_comes_while_there_is_signal(page)


def all_of_the_app_comes_while_there_is_signal(page: Page) -> None:
    page.goto("about:blank")
    with page.expect_response("**/static/bank/beep.js"):  # the last of them
        page.goto("/bank/")
    page.wait_for_load_state("networkidle")
    page.get_by_role("link", name="June Open").click()
    expect(page.get_by_role("link", name="My plan", exact=True)).to_be_visible()
    page.context.set_offline(True)
    go(page, "My plan")
    expect(page.get_by_role("heading", name="My plan")).to_be_visible()
    page.goto("/bank/#/phone")
    expect(page.get_by_role("heading", name="On this phone")).to_be_visible()


@pytest.fixture
def next_build(own_worker: Path) -> Callable[[], None]:
    """Let the server hand out another build of the worker."""

    def written() -> None:
        text = own_worker.read_text()
        zeros = r'\1"' + "0" * 12 + '"'
        own_worker.write_text(re.sub('(const BUILD = )"[0-9a-f]{12}"', zeros, text))

    return written


def test_a_new_version_is_offered_once_all_of_it_is_here_and_another_tab_moves_on_to_it(
    at_match: Callable[..., Page], next_build: Callable[[], None]
) -> None:
    """Or a screen of the new build would come into that tab's app of the old one."""
    page = at_match("tamsin")
    rest_here(page)
    other = page.context.new_page()
    other.goto(page.url)
    go(other, "Weigh in")
    other.evaluate("window.before = true")
    tried: list[str] = []

    def cut(route: Route) -> None:
        tried.append(route.request.url)
        route.abort()

    page.context.route(PACK, cut)
    next_build()
    assert page.evaluate(TRIED) is False
    assert tried
    expect(page.get_by_role("button", name=OFFER)).to_have_count(0)
    page.context.unroute(PACK)
    page.evaluate(HERE)
    page.context.set_offline(True)
    page.get_by_role("button", name=OFFER).click()
    expect(page.get_by_role("button", name=OFFER)).to_have_count(0)
    go(page, "My plan")
    expect(page.get_by_role("heading", name="My plan")).to_be_visible()
    page.goto("/bank/#/phone")
    expect(page.get_by_text("Version 000000000000")).to_be_visible()
    # The other tab stays as it is until its person moves on.
    expect(other.get_by_role("heading", name="Weigh in")).to_be_visible()
    assert other.evaluate("window.before") is True
    go(other, "Back")
    go(other, "My plan")
    expect(other.get_by_role("heading", name="My plan")).to_be_visible()
    assert other.evaluate("window.before") is None


def test_files_of_another_build_are_never_kept_as_this_ones(
    signed_in: Callable[..., Page], lasting_world: Any
) -> None:
    """The server moved on between the first load and the rest."""
    page = signed_in("tamsin", desk=False)
    page.context.route(
        PACK,
        lambda route: route.fulfill(
            json={"/static/bank/screens/plan.js": ["text/javascript", "// another build's"]}
        ),
    )
    open_match(page)
    page.wait_for_function("navigator.serviceWorker.controller !== null")
    go(page, "My plan")
    expect(page.get_by_text(MISSING)).to_be_visible()
    page.context.unroute(PACK)
    page.get_by_role("button", name="Try again").click()
    expect(page.get_by_role("heading", name="My plan")).to_be_visible()
