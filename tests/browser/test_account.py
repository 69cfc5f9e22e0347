"""A lost password: a code is made at the desk, and entered on a phone that was never signed in."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import pytest
from playwright.sync_api import Page, expect

from tests.conftest import PASSWORD

from .conftest import FaultsSeen

pytestmark = pytest.mark.browser
NEW = "sedge-by-the-weir"
PRESSED = "main button, main a.button"


def test_a_code_of_the_desks_lets_a_member_in_who_then_sees_where_they_are_signed_in(
    page_at: Callable[..., Page],
    signed_in: Callable[..., Page],
    lasting_world: Any,
    faults_seen: FaultsSeen,
) -> None:
    desk, phone = signed_in("idris"), page_at(360)
    desk.get_by_role("link", name="Who signs in").click()
    desk.get_by_label("Who has lost it").select_option(str(lasting_world.member.pk))
    desk.get_by_label("Your own password").fill(PASSWORD)
    desk.get_by_role("button", name="Make a code").click()
    expect(desk.get_by_role("heading", name="The code for Wilmot Crane")).to_be_visible()
    assert faults_seen(desk, "code", pressed=PRESSED) == []
    code = desk.locator(".code-shown").inner_text()

    phone.goto("/sign-in/")
    phone.get_by_role("link", name="The password is lost").click()
    phone.get_by_label("Name you sign in with").fill("wilmot")
    phone.get_by_label("Code", exact=True).fill(code)
    phone.get_by_label("New password", exact=True).fill(NEW)
    phone.get_by_label("The new password once more").fill(NEW)
    phone.get_by_role("button", name="Show what I typed").click()
    assert faults_seen(phone, "recover", pressed=PRESSED) == []
    phone.get_by_role("button", name="Set it and go in").click()
    expect(phone.get_by_role("status")).to_contain_text("You are in, with the new password.")
    phone.get_by_role("region").get_by_role("link", name="My account").click()
    expect(phone.get_by_role("heading", name="A new password")).to_be_visible()
    assert faults_seen(phone, "account", pressed=PRESSED) == []
    phone.get_by_role("link", name="Where I am signed in").click()
    expect(phone.get_by_text("(where you are now)")).to_be_visible()


def test_what_was_typed_is_shown_while_one_wants_and_hidden_again_as_it_is_sent(
    page_at: Callable[..., Page], faults_seen: FaultsSeen
) -> None:
    page = page_at(360)
    page.goto("/sign-in/")
    show = page.get_by_role("button", name="Show what I typed")
    typed = page.get_by_label("Password", exact=True)
    typed.fill(NEW)
    for pressed, kind in (("false", "password"), ("true", "text"), ("false", "password")):
        expect(show).to_have_attribute("aria-pressed", pressed)
        expect(typed).to_have_attribute("type", kind)
        show.click()
    expect(typed).to_have_attribute("type", "text")
    expect(typed).to_have_attribute("spellcheck", "false")
    assert faults_seen(page, "sign-in", pressed=PRESSED) == []
    # Held here, so that the page that sends can still be looked at.
    page.evaluate("document.addEventListener('submit', (event) => event.preventDefault())")
    page.get_by_label("Name you sign in with").fill("wilmot")
    typed.press("Enter")
    expect(typed).to_have_attribute("type", "password")
    expect(typed).to_have_value(NEW)


def test_where_no_script_runs_there_is_no_button_for_it(page_at: Callable[..., Page]) -> None:
    page = page_at(360, java_script_enabled=False)
    page.goto("/sign-in/")
    expect(page.get_by_label("Password", exact=True)).to_be_visible()
    expect(page.get_by_text("Show what I typed")).to_be_hidden()
