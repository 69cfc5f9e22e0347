"""A real Chromium on a real server, with the invented club behind it.

`page_at(360)` gives a page of that width in its own browser profile; `signed_in("tamsin")` gives
one whose person has signed in; `at_match("tamsin")` a phone in the bank app with the match on it.
`axe_violations(page)` lists what a reader with an aid would stumble over; `faults_seen(page,
"plan")` that and what does not fit, at every width.
"""

from __future__ import annotations

import os
import shutil
from collections.abc import Callable, Iterator
from pathlib import Path
from threading import Condition
from typing import Any

import pytest
from axe_playwright_python.sync_playwright import Axe
from django.conf import settings
from django.core.management import call_command
from django.core.servers.basehttp import ServerHandler
from django.test import Client
from playwright.sync_api import Browser, BrowserContext, Page, ViewportSize, sync_playwright
from pwa import app_settings

from tests.browser.bank_phone import open_match
from tests.conftest import PASSWORD

CHROMIUM = Path(os.environ.get("CHROMIUM", "/usr/bin/chromium"))
# The same engine without windows and devices takes half the processor's time.
WITHOUT_WINDOWS = shutil.which("chromium-headless-shell") or str(CHROMIUM)
ARGS = [
    "--no-sandbox",
    "--disable-gpu",
    "--disable-quic",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
    # A page lives for seconds: what the engine makes faster for later is never used.
    "--js-flags=--no-opt,--no-maglev",
]
WAIT_MS = 10_000
WIDTHS = (360, 768, 1280)
PRESSED_PX = 44  # common practice, no source

PageAt = Callable[..., Page]
FaultsSeen = Callable[..., list[str]]


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
        running = driver.chromium.launch(executable_path=WITHOUT_WINDOWS, args=ARGS)
        yield running
        running.close()


@pytest.fixture(scope="session")
def bank_built() -> None:
    """The worker file carries the hash of the shell: write it from the files as they are now."""
    call_command("bank_build", verbosity=0)


@pytest.fixture
def own_worker(bank_built: None, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """The worker's file as this test serves it, free to be written anew: others serve their own."""
    mine = tmp_path / "serviceworker.js"
    mine.write_bytes(Path(settings.PWA_SERVICE_WORKER_PATH).read_bytes())
    monkeypatch.setattr(app_settings, "PWA_SERVICE_WORKER_PATH", str(mine))
    return mine


@pytest.fixture(scope="session")
def all_answered() -> Iterator[Callable[[], None]]:
    """Wait until the server in this process answers nobody: what it still wrote for a page that is
    closed already would be in the way of emptying the tables."""
    answering, changed, run = 0, Condition(), ServerHandler.run

    def counted(self: Any, application: Any) -> None:
        nonlocal answering
        with changed:
            answering += 1
        try:
            run(self, application)
        finally:
            with changed:
                answering -= 1
                changed.notify_all()

    def wait() -> None:
        with changed:
            changed.wait_for(lambda: not answering, WAIT_MS / 1000)

    patch = pytest.MonkeyPatch()
    patch.setattr(ServerHandler, "run", counted)
    yield wait
    patch.undo()


@pytest.fixture
def page_at(
    browser: Browser,
    bank_built: None,
    lasting_world: Any,
    live_server: Any,
    all_answered: Callable[[], None],
) -> Iterator[PageAt]:
    """A maker of pages: width in CSS pixels, a fresh profile each, closed after the test.

    What goes wrong in a page's script fails the test, unless it said `may_fail=True`.
    """
    # Anew for each test: a worker takes only the files it was built from.
    call_command("bank_build", verbosity=0)
    contexts: list[BrowserContext] = []
    faults: list[str] = []

    def open_page(width: int = 360, *, may_fail: bool = False, **options: Any) -> Page:
        usual = {"viewport": window_of(width), "base_url": live_server.url, "locale": "en-GB"}
        context = browser.new_context(**(usual | options))
        context.set_default_timeout(WAIT_MS)
        contexts.append(context)
        page = context.new_page()
        if not may_fail:
            page.on("pageerror", lambda error: faults.append(str(error)))
        return page

    yield open_page
    for context in contexts:
        context.close()
    all_answered()
    assert faults == []


def window_of(width: int) -> ViewportSize:
    return {"width": width, "height": 740 if width < 700 else 900}


@pytest.fixture
def signed_in(page_at: PageAt, live_server: Any) -> PageAt:
    """A maker of pages whose person has signed in, and is on the desk: `signed_in("tamsin", 360)`.
    Or nowhere yet, with `desk=False`.
    """

    def open_signed_in(
        username: str, width: int = 360, *, desk: bool = True, **options: Any
    ) -> Page:
        page = page_at(width, **options)
        where = options.get("base_url", live_server.url)
        leads_to = let_in(page.context, username, where, options.get("user_agent", ""))
        if desk:
            page.goto(leads_to)
        return page

    return open_signed_in


def let_in(context: BrowserContext, username: str, where: str, user_agent: str = "") -> str:
    """The door's own view lets them in, without the second that its page takes: that page is
    looked at by tests of its own. Gives where the door leads."""
    door = Client(headers={"User-Agent": user_agent})
    answer = door.post("/sign-in/", {"username": username, "password": PASSWORD})
    assert answer.status_code == 302, answer.content.decode()
    context.add_cookies(
        [
            {"name": name, "value": cookie.value, "url": where}
            for name, cookie in door.cookies.items()
        ]
    )
    return answer["Location"]


@pytest.fixture
def at_match(signed_in: PageAt) -> PageAt:
    """A maker of phones in the bank app, with the match and the worker on them."""

    def opened(username: str, width: int = 360, **options: Any) -> Page:
        page = signed_in(username, width, desk=False, **options)
        open_match(page)
        return page

    return opened


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
        if not page.evaluate("'axe' in window"):
            page.evaluate(Axe().axe_script)
        found = page.evaluate("axe.run(document, {resultTypes: ['violations']})")
        return [
            f"{v['id']}: {node['html'][:120]}" for v in found["violations"] for node in v["nodes"]
        ]

    return find


@pytest.fixture
def faults_seen(axe_violations: Callable[[Page], list[str]]) -> FaultsSeen:
    """What is wrong with a page as it stands, one line a finding that begins with the width.

    The window is made narrow, middling and wide in turn, and is left as it was. Nothing may run
    off the side at any of them, and what `pressed` selects must be high enough for a thumb. At the
    narrowest an aid must be able to read the page; how it reads the widest, `make grades` asks of
    each page.
    """

    def find(page: Page, name: str, *, pressed: str = "") -> list[str]:
        before, faults = page.viewport_size, []
        for width in WIDTHS:
            page.set_viewport_size(window_of(width))
            picture_keep(page, name)
            if over := sideways(page):
                faults.append(f"{width}: {over} px too wide")
            faults += [f"{width}: too low: {it}" for it in low(page, pressed)]
            if width == WIDTHS[0]:
                faults += [f"{width}: {found}" for found in axe_violations(page)]
        if before:
            page.set_viewport_size(before)
        return faults

    return find


def sideways(page: Page) -> int:
    """By how many pixels the page is wider than its window."""
    return int(
        page.evaluate("document.documentElement.scrollWidth - document.documentElement.clientWidth")
    )


def low(page: Page, pressed: str) -> list[str]:
    """Those of what `pressed` selects, and can be seen, that are lower than PRESSED_PX."""
    if not pressed:
        return []
    found: list[str] = page.locator(pressed).evaluate_all(
        """(all, least) => all
          .filter((e) => e.checkVisibility() && e.getBoundingClientRect().height < least)
          .map((e) => e.outerHTML.slice(0, 120))""",
        PRESSED_PX,
    )
    return found


def picture_keep(page: Page, name: str) -> None:
    """Keep a picture where DRAWBAG_PICTURES says; nothing otherwise."""
    folder = os.environ.get("DRAWBAG_PICTURES")
    if folder:
        width = page.viewport_size["width"] if page.viewport_size else 0
        page.screenshot(path=Path(folder) / f"{name}-{width}.png", full_page=True)
