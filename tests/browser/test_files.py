"""The secretary brings a roster in from a phone: columns matched by hand, looked at, imported."""

from __future__ import annotations

from typing import Any

from playwright.sync_api import Page, expect

from matches.models import Angler
from tests.browser.conftest import FaultsSeen
from tests.sheets import xlsx

PRESSED = "main button, main a.button, main summary, main select, main input[type=file]"
XLSX = "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet"
ROSTER = xlsx(
    ["Colour", "Boat", "Card number", "Jnr"],
    ["Maud Ferris", None, 12, None],
    ["Ada Longstaff-Featherstonehaugh", "Otterbeck Alders", 13, "x"],
    ["Perrin Stoat", "Larkmill Wanderers of the Upper Wend", None, "maybe"],
)


def choose(page: Page, raw: bytes) -> None:
    page.set_input_files(
        "input[name=file]", {"name": "roster.xlsx", "mimeType": XLSX, "buffer": raw}
    )
    with page.expect_navigation():
        page.get_by_role("button", name="Show what would change").click()


def test_a_roster_is_matched_looked_at_and_imported_on_a_phone(
    lasting_world: Any, signed_in: Any, faults_seen: FaultsSeen
) -> None:
    page: Page = signed_in("idris", 360)
    page.get_by_role("link", name="Files in and out").click()
    expect(page.get_by_role("heading", name="All of the club")).to_be_visible()
    assert faults_seen(page, "files", pressed=PRESSED) == []
    page.get_by_role("link", name="Anglers of the club").click()
    choose(page, b"%PDF-1.7")
    expect(page.get_by_role("alert")).to_contain_text("This is a PDF")
    assert faults_seen(page, "file-in", pressed=PRESSED) == []
    choose(page, ROSTER)
    expect(page.get_by_text("Say which column is: Name or Surname")).to_be_visible()
    page.get_by_label("Name", exact=True).select_option(label="Colour")
    page.get_by_label("Team", exact=True).select_option(label="Boat")
    with page.expect_navigation():
        page.get_by_role("button", name="Read the columns so").click()
    expect(page.get_by_text("Write yes or no, or nothing.")).to_be_visible()
    page.get_by_text("Which column is what", exact=True).click()
    assert faults_seen(page, "file-refused", pressed=PRESSED) == []
    page.get_by_label("Junior", exact=True).select_option(label="not in this file")
    with page.expect_navigation():
        page.get_by_role("button", name="Read the columns so").click()
    assert faults_seen(page, "file-look", pressed=PRESSED) == []
    with page.expect_navigation():
        page.get_by_role("button", name="Import all of it").click()
    expect(page.get_by_text("Importing the same file again changes nothing.")).to_be_visible()
    assert faults_seen(page, "file-done", pressed=PRESSED) == []
    assert Angler.objects.get(name="Maud Ferris").number == "12"
