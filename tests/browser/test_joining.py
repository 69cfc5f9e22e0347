"""From the secretary's invitation to a new member's phone that opens the match without signal."""

from __future__ import annotations

import re
from collections.abc import Callable
from typing import Any
from urllib.parse import urlsplit

from playwright.sync_api import Page, expect

from tests.browser.bank_phone import rest_here, signal
from tests.browser.conftest import FaultsSeen


def test_a_scanned_invitation_ends_with_the_match_on_the_phone_ready_for_no_signal(
    signed_in: Callable[..., Page],
    page_at: Callable[..., Page],
    faults_seen: FaultsSeen,
    lasting_world: Any,
) -> None:
    desk = signed_in("idris", 1280, desk=False)
    desk.goto(f"/desk/matches/{lasting_world.match.pk}/")
    desk.get_by_role("link", name="Invitation").click()
    desk.get_by_role("button", name="Make an invitation").click()
    code = desk.get_by_role("img", name="The invitation as a code")
    expect(code).to_be_visible()
    assert code.evaluate("(img) => img.complete && img.naturalWidth > 0")
    assert faults_seen(desk, "invitation", pressed="main button, main .button") == []
    link = desk.locator(".whole-link a").get_attribute("href")
    assert link
    phone = page_at(360)
    phone.goto(urlsplit(link).path)
    assert faults_seen(phone, "join", pressed="main button, main .button") == []
    for label, typed in [
        ("First name", "Hester"),
        ("Family name", "Vane"),
        ("Name you sign in with", "hester"),
        ("Password", "sedge-by-the-weir"),
        ("The password once more", "sedge-by-the-weir"),
    ]:
        phone.get_by_label(label, exact=True).fill(typed)
    phone.get_by_role("button", name="Make the account and join").click()
    expect(phone.get_by_role("heading", name="You are in")).to_be_visible()
    assert faults_seen(phone, "joined", pressed="main button, main .button") == []
    phone.get_by_role("link", name=re.compile("June Open.* on this phone")).click()
    expect(phone.get_by_role("heading", name="June Open")).to_be_visible()
    rest_here(phone)
    phone.context.set_offline(True)
    phone.reload()
    expect(phone.get_by_role("heading", name="June Open")).to_be_visible()
    expect(signal(phone)).to_have_attribute("data-signal", "no_signal")
