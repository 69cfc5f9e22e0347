"""A real Chromium on a real server, with the invented club behind it.

`page_at(360)` gives a page of that width in its own browser profile; `signed_in("tamsin")` gives
one whose person has signed in through the page. `axe_violations(page)` lists what a
reader with an aid would stumble over.
"""

from __future__ import annotations

import os
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import pytest
from axe_playwright_python.sync_playwright import Axe
from django.core.management import call_command
from playwright.sync_api import Browser, BrowserContext, Page, sync_playwright

from tests.conftest import PASSWORD

CHROMIUM = Path(os.environ.get("CHROMIUM", "/usr/bin/chromium"))
ARGS = [
    "--no-sandbox",
    "--disable-gpu",
    "--disable-quic",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
]
WAIT_MS = 10_000

PageAt = Callable[..., Page]


def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    here = Path(__file__).parent
    for item in items:
        if here in item.path.parents:
            item.add_marker(pytest.mark.browser)


@pytest.fixture(scope="session")
def browser() -> Iterator[Browser]:
    """One Chromium for the whole run. Missing, it fails: these tests are never skipped."""
    if not CHROMIUM.exists():
        pytest.fail(
            f"No Chromium at {CHROMIUM}: install it (`apt-get install chromium`), or set CHROMIUM "
            "to where it is. To leave the browser tests out, run `make check`.",
            pytrace=False,
        )
    with sync_playwright() as driver:
        running = driver.chromium.launch(executable_path=str(CHROMIUM), args=ARGS)
        yield running
        running.close()


@pytest.fixture(scope="session")
def bank_built() -> None:
    """The worker file carries the hash of the shell: write it from the files as they are now."""
    call_command("bank_build", verbosity=0)


@pytest.fixture
def page_at(
    browser: Browser, bank_built: None, lasting_world: Any, live_server: Any
) -> Iterator[PageAt]:
    """A maker of pages: width in CSS pixels, a fresh profile each, closed after the test.

    What goes wrong in a page's script fails the test, unless it said `may_fail=True`.
    """
    contexts: list[BrowserContext] = []
    faults: list[str] = []

    def open_page(width: int = 360, *, may_fail: bool = False, **options: Any) -> Page:
        context = browser.new_context(
            viewport={"width": width, "height": 740 if width < 700 else 900},
            base_url=live_server.url,
            locale="en-GB",
            **options,
        )
        context.set_default_timeout(WAIT_MS)
        contexts.append(context)
        page = context.new_page()
        if not may_fail:
            page.on("pageerror", lambda error: faults.append(str(error)))
        return page

    yield open_page
    for context in contexts:
        context.close()
    assert faults == []


@pytest.fixture
def signed_in(page_at: PageAt) -> PageAt:
    """A maker of pages whose person has signed in: `signed_in("tamsin", 360)`."""

    def open_signed_in(username: str, width: int = 360, **options: Any) -> Page:
        page = page_at(width, **options)
        sign_in(page, username)
        return page

    return open_signed_in


def sign_in(page: Page, username: str) -> None:
    """Through the form, as a person would; ends on the desk."""
    page.goto("/sign-in/")
    page.locator("input[name=username]").fill(username)
    page.locator("input[name=password]").fill(PASSWORD)
    page.locator("input[name=password]").press("Enter")
    page.wait_for_url("**/desk/**")


@pytest.fixture
def axe_violations() -> Callable[[Page], list[str]]:
    """What axe-core finds, one line a finding. Our policy allows no page to load it, so it goes
    in as source through the debugger."""

    def find(page: Page) -> list[str]:
        page.evaluate(Axe().axe_script)
        found = page.evaluate("axe.run(document, {resultTypes: ['violations']})")
        return [
            f"{v['id']}: {node['html'][:120]}" for v in found["violations"] for node in v["nodes"]
        ]

    return find
