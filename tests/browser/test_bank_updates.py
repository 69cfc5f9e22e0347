"""The app's own versions: a form half filled when one comes, and a broken one that was shipped."""

from __future__ import annotations

import re
import time
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import Error, Page, expect

from tests.browser.test_bank_offline import count, go, open_match, weigh, weights_on_server

# It installs, and then answers nothing: not even the page that would fetch a better one.
ANSWERS_NOTHING = """self.addEventListener("fetch", (event) => {
  if (event.request.mode === "navigate") event.respondWith(Promise.reject(new Error("broken")));
});
"""
LOOK = "navigator.serviceWorker.getRegistration().then((found) => found.update())"


def ship(worker: Path, build: str, before: str = "") -> None:
    """Put another version where phones look for one."""
    text = re.sub(r'const BUILD = "[^"]+"', f'const BUILD = "{build}"', worker.read_text(), count=1)
    worker.write_text(before + text.removeprefix(ANSWERS_NOTHING))


@pytest.mark.fault("update with a half-filled form")
def test_a_half_filled_note_stays_while_a_new_version_waits(
    signed_in: Callable[..., Page], lasting_world: Any, own_worker: Path
) -> None:
    page = signed_in("maud")
    open_match(page)
    go(page, "My peg")
    page.get_by_label("Depth (cm)").fill("210")
    ship(own_worker, "111111111111")
    page.evaluate(LOOK)
    page.evaluate(
        """() => new Promise(async (come) => {
          const found = await navigator.serviceWorker.getRegistration();
          const see = () => (found.waiting ? come() : setTimeout(see, 20));
          see();
        })"""
    )
    expect(page.get_by_label("Depth (cm)")).to_have_value("210")
    expect(page.get_by_role("button", name="Use it now")).to_have_count(0)
    page.get_by_role("button", name="Keep the notes").click()
    expect(count(page, "sent")).to_have_text("1")
    go(page, "Back")
    expect(page.get_by_role("button", name="Use it now")).to_be_visible()


@pytest.mark.fault("bad worker shipped then mended")
def test_a_phone_comes_back_from_a_broken_version_once_a_mended_one_is_there(
    signed_in: Callable[..., Page], lasting_world: Any, own_worker: Path
) -> None:
    page = signed_in("tamsin")
    open_match(page)
    page.route("**/api/**", lambda route: route.abort())
    go(page, "Weigh in")
    weigh(page, "1", "4250")
    page.unroute("**/api/**")
    page.context.set_offline(True)
    page.context.set_offline(False)
    ship(own_worker, "000000000bad", before=ANSWERS_NOTHING)
    page.evaluate(LOOK)
    page.get_by_role("button", name="Use it now").click()
    with pytest.raises(Error):
        page.goto("/bank/")
    ship(own_worker, "222222222222")
    until = time.monotonic() + 60
    while time.monotonic() < until:
        try:
            page.goto("/bank/")
            break
        except Error:  # the mended one comes in behind the page that failed
            continue
    expect(count(page, "sent")).to_have_text("1")
    page.goto("/bank/#/phone")
    expect(page.get_by_text("Version 222222222222")).to_be_visible()
    assert weights_on_server() == {"1": [4250]}
