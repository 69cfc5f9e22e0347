"""What the phone says of what is kept on it is true: who settles it, and why it was refused."""

from __future__ import annotations

import json
from collections.abc import Callable
from pathlib import Path
from typing import Any

from playwright.sync_api import Page, expect

from tests.browser.bank_phone import (
    count,
    go,
    open_match,
    rest_here,
    weigh,
    weights_on_server,
)

DRAWER = "[data-list=refused]"


def test_a_members_weight_beside_a_weighers_is_shown_as_to_be_settled(
    at_match: Callable[..., Page], signed_in: Callable[..., Page], lasting_world: Any
) -> None:
    weigher, member = at_match("tamsin"), signed_in("maud", desk=False)
    go(weigher, "Weigh in")
    weigh(weigher, "1", "4250")
    expect(count(weigher, "sent")).to_have_text("1")
    open_match(member)
    rest_here(member)
    go(member, "Weigh in")
    row = member.locator(".pegs a[href$='/weigh/1']")
    expect(row).to_contain_text("4.250 kg")
    member.context.set_offline(True)
    row.click()
    expect(member.get_by_text("4.250 kg was weighed by Tamsin Rook and stands.")).to_be_visible()
    expect(member.get_by_role("button", name="Keep it")).to_be_visible()
    member.go_back()
    weigh(member, "1", "4520")
    expect(member.locator(".lately")).to_contain_text("to be settled")
    expect(row).to_contain_text("kept here, to be settled")
    member.context.set_offline(False)
    expect(row).to_contain_text("to settle")
    assert weights_on_server() == {"1": [4250, 4520]}


def saved(page: Page) -> Any:
    """What the phone writes into a file of everything unsent."""
    with page.expect_download() as download:
        page.get_by_role("button", name="Save the unsent to a file").click()
    return json.loads(Path(download.value.path()).read_text())


def read_in(page: Page, file: Any, at: Path) -> None:
    at.write_text(json.dumps(file))
    page.locator("input[type=file]").set_input_files(at)


def test_a_file_edited_by_hand_is_read_refused_in_words_and_nothing_of_it_is_lost(
    at_match: Callable[..., Page], lasting_world: Any, tmp_path: Path
) -> None:
    match = lasting_world.match
    match.scored_by, match.species = "fish", [{"name": "Roach", "points": 1}]
    match.save()
    page = at_match("tamsin")
    rest_here(page)
    page.context.set_offline(True)
    page.goto(f"/bank/#/match/{match.pk}")
    page.get_by_role("button", name="Start", exact=True).click()
    expect(count(page, "kept")).to_have_text("1")
    page.goto("/bank/#/phone")
    a_file_of_somebody_else_or_damaged_is_told(page, tmp_path)
    file = saved(page)
    (first,) = file["facts"]
    weight = {"net": 1, "weight": 4250, "unit": "g"}
    edits: list[dict[str, Any]] = [
        {"kind": "weigh_in", "peg": "1", "body": weight | {"weight": 2_000_001}},
        {"kind": "weigh_in", "peg": "2", "body": weight | {"fish": [["Carp", 2]]}},
        {"kind": "feed_note", "body": {"bait": "hemp", "amount": 5, "unit": "pint"}},
        {"kind": "weather", "body": {}},
        {"match": "999999"},
        {"recorded_at": "noon"},
    ]
    for n, edit in enumerate(edits, 2):
        made = first | {"id": f"01890a5d-ac96-7000-8000-{n:012}", "seq": n} | edit
        file["facts"].append(made)
    file["facts"][0]["body"]["signal"] = "end"
    read_in(page, file, tmp_path / "edited.json")
    status = page.get_by_role("status")
    expect(status.get_by_text("5 facts taken in from the file.")).to_be_visible()
    expect(status.get_by_text("1 of the file differs from the same on this phone")).to_be_visible()
    expect(status.get_by_text("1 in the file cannot be read")).to_be_visible()
    # Meanwhile every screen of the match can be read.
    go_and_back(page, match.pk)
    page.context.set_offline(False)
    expect(count(page, "refused")).to_have_text("5")
    expect(count(page, "sent")).to_have_text("1")
    drawer = page.locator(DRAWER)
    for words in (
        "This must be from 0 to 2000000.",
        "This species is not scored here. Use one of: Roach.",
        "not as this app writes it",
        "No such match in your clubs.",
    ):
        expect(drawer).to_contain_text(words)
    assert weights_on_server() == {}
    assert len(saved(page)["facts"]) == 5


def go_and_back(page: Page, match: int) -> None:
    for way in ("", "/weigh", "/weigh/1", "/feed", "/peg"):
        page.goto(f"/bank/#/match/{match}{way}")
        expect(page.get_by_role("heading").first).to_be_visible()
    page.goto("/bank/#/phone")
    expect(page.locator("[data-list=kept]")).to_contain_text("not as this app writes it")


def a_file_of_somebody_else_or_damaged_is_told(page: Page, folder: Path) -> None:
    file = {
        "format": "drawbag-unsent",
        "version": 1,
        "person": {"id": "999", "name": "Perrin Stoat"},
        "saved_at": "2026-06-20T13:00:00Z",
        "facts": [],
    }
    read_in(page, file, folder / "theirs.json")
    expect(page.get_by_text("This file holds what Perrin Stoat logged.")).to_be_visible()
    (folder / "half.json").write_text(json.dumps(file)[:-20])
    page.locator("input[type=file]").set_input_files(folder / "half.json")
    expect(page.get_by_text("or it is damaged. Nothing was changed.")).to_be_visible()
