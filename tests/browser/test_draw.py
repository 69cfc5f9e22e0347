"""The draw on a phone: told tap by tap, and worked out anew on the device, with and without net."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import Page, expect

from matches.models import Draw, DrawnPeg, Entry, Peg
from matches.writes.draw_telling import draw_begin, draw_tell
from matches.writes.draws import draw_commit, draw_hold

from .conftest import FaultsSeen, sideways
from .test_secretary import at

PageAt = Callable[..., Page]
Axe = Callable[[Page], list[str]]
BOARD = "/board/otterbeck/june-open/draw/"
GOOD = "✓ It checks: the seed gives the commitment, and every peg follows from the seed."


@pytest.fixture
def committed(lasting_world: Any) -> Any:
    """Committed to; Odette asks for one of two accessible pegs."""
    Entry.objects.filter(pk=lasting_world.entries["Odette"].pk).update(needs_access=True)
    Peg.objects.filter(number__in=["2", "6"]).update(accessible=True)
    draw_commit(lasting_world.secretary, match=lasting_world.match, mode="team")
    return lasting_world


@pytest.fixture
def held(committed: Any) -> Any:
    draw_hold(committed.secretary, match=committed.match)
    return committed


def test_pegs_are_told_by_thumb_without_scripts_and_the_board_follows(
    committed: Any, signed_in: PageAt, page_at: PageAt
) -> None:
    page = signed_in("idris", 360, java_script_enabled=False)
    page.goto(at(committed, "draw/"))
    page.get_by_role("button", name="Tell one angler at a time").click()
    expect(page.locator(".who-next")).to_have_text("Maud Ferris")
    page.get_by_role("button", name="Tell the peg").click()
    peg = DrawnPeg.objects.select_related("section_peg__peg").get().section_peg.peg.number
    expect(page.locator(".who-drew")).to_have_text("Maud Ferris")
    expect(page.locator(".peg-drawn b").nth(1)).to_have_text(peg)
    board = page_at(360)
    board.goto(BOARD)
    expect(board.get_by_text("1 of 4 told")).to_be_visible()
    expect(board.get_by_text("secret until every peg is told")).to_be_visible()
    page.reload()
    expect(page.locator(".who-next")).to_have_text("Perrin Stoat")
    page.get_by_role("button", name="Tell all 3 left at once").click()
    expect(page.get_by_text("held, and it checks")).to_be_visible()
    board.reload()
    expect(board.get_by_text(Draw.objects.get().seed, exact=True)).to_be_visible()


def test_two_taps_before_the_page_came_tell_one(committed: Any, signed_in: PageAt) -> None:
    draw_begin(committed.secretary, match=committed.match)
    page = signed_in("idris", 360)
    page.goto(at(committed, "draw/"))
    page.get_by_role("button", name="Tell the peg").dblclick()
    expect(page.locator(".who-drew")).to_have_text("Maud Ferris")
    assert DrawnPeg.objects.count() == 1


def test_the_telling_fits_the_screen_and_an_aid_can_read_it(
    committed: Any, signed_in: PageAt, faults_seen: FaultsSeen
) -> None:
    draw_begin(committed.secretary, match=committed.match)
    draw_tell(committed.secretary, match=committed.match, told=0)
    page = signed_in("idris", 360)
    page.goto(BOARD)
    assert faults_seen(page, "draw-told") == []
    page.goto(at(committed, "draw/"))
    assert faults_seen(page, "draw") == []
    tell = page.get_by_role("button", name="Tell the peg").bounding_box()
    assert tell is not None and tell["height"] >= 64
    assert tell["y"] + tell["height"] <= 780


def test_the_draw_is_worked_out_anew_without_the_network(
    held: Any, page_at: PageAt, axe_violations: Axe
) -> None:
    page = page_at(360)
    page.goto(BOARD)
    page.context.set_offline(True)
    page.get_by_role("button", name="Work it out anew on this device").click()
    expect(page.get_by_text(GOOD)).to_be_visible()
    expect(page.locator("[data-mark]")).to_have_text(["✓ checks"] * 4)
    page.get_by_role("button", name="Work it out anew on this device").click()
    expect(page.locator("[data-mark]")).to_have_count(4)
    page.get_by_text("Check it another way").click()
    assert sideways(page) == 0
    assert axe_violations(page) == []


def test_a_row_that_was_changed_is_the_first_difference(held: Any, page_at: PageAt) -> None:
    page = page_at(360)
    page.goto(BOARD)
    row = page.locator("tr[data-angler]").first
    angler = row.get_attribute("data-angler")
    row.evaluate("(row) => { row.dataset.peg = '99'; }")
    page.get_by_role("button", name="Work it out anew on this device").click()
    expect(page.locator("[data-check] [role=status]")).to_contain_text(
        f"It does not check. First difference: number {angler} has section "
    )
    expect(row.locator("[data-mark]")).to_contain_text("✗ the seed gives section ")
    expect(page.locator(".check-bad")).to_have_count(2)


def test_another_commitment_does_not_check(held: Any, page_at: PageAt) -> None:
    page = page_at(360)
    page.goto(BOARD)
    page.locator("[data-published]").evaluate(
        "(text, was) => { text.textContent = text.textContent.replace(was, '0'.repeat(64)); }",
        Draw.objects.get().commitment,
    )
    page.get_by_role("button", name="Work it out anew on this device").click()
    expect(page.get_by_text("✗ It does not check: the seed does not give")).to_be_visible()


def test_a_copy_of_the_page_on_a_disk_works_it_out_too(
    held: Any, page_at: PageAt, tmp_path: Path
) -> None:
    page = page_at(360)
    page.goto(BOARD)
    script = Path(__file__).parents[2] / "web" / "static" / "js" / "draw-check.js"
    (tmp_path / "draw-check.js").write_bytes(script.read_bytes())
    source = page.locator("script[src*=draw-check]").get_attribute("src") or ""
    copy = tmp_path / "draw.html"
    copy.write_text(page.content().replace(source, "draw-check.js"), encoding="utf-8")
    page.context.set_offline(True)
    page.goto(copy.as_uri())
    page.get_by_role("button", name="Work it out anew on this device").click()
    expect(page.get_by_text(GOOD)).to_be_visible()
