"""The app's own versions: a form half filled when one comes."""

from __future__ import annotations

import re
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import Page, expect

from tests.browser.bank_phone import count, go

LOOK = "navigator.serviceWorker.getRegistration().then((found) => found.update())"


def ship(worker: Path, build: str) -> None:
    """Put another version where phones look for one."""
    text = re.sub(r'const BUILD = "[^"]+"', f'const BUILD = "{build}"', worker.read_text(), count=1)
    worker.write_text(text)


@pytest.mark.fault("update with a half-filled form")
def test_a_new_version_waits_for_a_half_filled_form_and_is_offered_between_tasks_only(
    at_match: Callable[..., Page], lasting_world: Any, own_worker: Path
) -> None:
    page = at_match("maud")
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
    offer = page.get_by_role("button", name="Use it now")
    expect(offer).to_have_count(0)
    page.get_by_role("button", name="Keep the notes").click()
    expect(count(page, "sent")).to_have_text("1")
    go(page, "Back")
    expect(offer).to_be_visible()
    go(page, "Weigh in")
    page.get_by_role("link", name="My peg Peg 1").click()
    page.get_by_role("button", name="4", exact=True).click()
    expect(page.get_by_text("0.004 kg")).to_be_visible()
    expect(offer).to_have_count(0)
    go(page, "Back")
    expect(offer).to_be_visible()
    offer.click()
    expect(offer).to_have_count(0)
    page.goto("/bank/#/phone")
    expect(page.get_by_text("Version 111111111111")).to_be_visible()
