"""The app's own versions: a form half filled when one comes."""

from __future__ import annotations

import re
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import Page, expect

from tests.browser.bank_phone import count, go, open_match

LOOK = "navigator.serviceWorker.getRegistration().then((found) => found.update())"


def ship(worker: Path, build: str) -> None:
    """Put another version where phones look for one."""
    text = re.sub(r'const BUILD = "[^"]+"', f'const BUILD = "{build}"', worker.read_text(), count=1)
    worker.write_text(text)


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
