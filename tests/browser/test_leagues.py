"""Leagues in a real browser: made at the desk, read on a phone and on paper."""

from __future__ import annotations

import re
from collections.abc import Callable
from typing import Any

import pytest
from playwright.sync_api import Page, expect

from matches.models import LeagueTable
from tests.browser.conftest import sideways
from tests.league_season import correct, publish, season

PageAt = Callable[..., Page]
Axe = Callable[[Page], list[str]]
BOARD = "/board/otterbeck/leagues/wend-league/"
DESK = "/desk/clubs/otterbeck/leagues/"


@pytest.fixture
def corrected(lasting_world: Any) -> Any:
    """A season with one round dropped and a late correction."""
    _, rounds = season(lasting_world, drop_worst=1)
    correct(lasting_world, rounds[1], "Maud", 2000)
    publish(lasting_world, rounds[1], confirmed=True, reason="The sheet was read wrongly.")
    return lasting_world


def test_on_a_phone_rank_name_and_total_are_seen_without_a_stroke(
    corrected: Any, page_at: PageAt, axe_violations: Axe
) -> None:
    page = page_at(360)
    page.goto(f"{BOARD}table/")
    row = page.locator("table.league tbody tr").first
    total = row.locator("td").nth(1).bounding_box()
    assert total is not None and total["x"] + total["width"] <= 360
    expect(
        page.get_by_text("Bulletin 2 of July Open: The sheet was read wrongly.").first
    ).to_be_visible()
    assert sideways(page) == 0
    assert axe_violations(page) == []
    page.get_by_role("link", name="Maud Ferris").first.click()
    expect(page.get_by_role("heading", level=1)).to_have_text("Maud Ferris")
    expect(
        page.get_by_role("img", name="Place in each round. round 1: 1; round 2: 1")
    ).to_be_visible()
    assert sideways(page) == 0
    assert axe_violations(page) == []


def test_the_table_is_one_sheet_of_paper(corrected: Any, page_at: PageAt) -> None:
    page = page_at(1280)
    page.goto(f"{BOARD}table/")
    assert len(re.findall(rb"/Type\s*/Page[^s]", page.pdf(format="A4"))) == 1


def test_a_league_is_made_and_its_table_comes_with_the_rounds(
    corrected: Any, signed_in: PageAt, axe_violations: Axe
) -> None:
    page = signed_in("idris", 360)
    page.goto("/desk/")
    page.get_by_role("link", name="Leagues").click()
    page.get_by_role("link", name="Make a league").click()
    page.get_by_role("link", name="The most points win").click()
    with page.expect_navigation():
        page.get_by_role("link", name="Every round counts").click()
    assert axe_violations(page) == []
    page.get_by_role("button", name="Make it and choose its rounds").click()
    expect(page.get_by_text("Name the league, in up to 120 plain characters.")).to_be_visible()
    assert axe_violations(page) == []
    page.get_by_label("Name").fill("Teams of the Wend")
    page.get_by_label("Ranks").select_option("teams")
    page.get_by_role("button", name="Make it and choose its rounds").click()
    page.get_by_label(re.compile("July Open")).fill("2")
    page.get_by_label(re.compile("June Open")).fill("1")
    assert sideways(page) == 0
    assert axe_violations(page) == []
    page.get_by_role("button", name="Save the rounds").click()
    expect(page.get_by_text("The rounds are set.")).to_be_visible()
    expect(page.locator("table.league tbody tr").first).to_contain_text("Otterbeck Alders")
    assert sideways(page) == 0
    assert axe_violations(page) == []
    assert LeagueTable.objects.filter(league__name="Teams of the Wend").count() == 1


def test_other_rules_ask_for_a_reason_and_everybody_reads_it(
    corrected: Any, signed_in: PageAt, page_at: PageAt, axe_violations: Axe
) -> None:
    page = signed_in("idris", 768)
    page.goto(f"{DESK}wend-league/rules/")
    page.get_by_label("Count", exact=True).select_option("all")
    page.get_by_role("button", name="Save the rules").click()
    expect(
        page.get_by_text("Say why: a table is out, and everybody will read this.")
    ).to_be_visible()
    expect(page.get_by_label("Count", exact=True)).to_have_value("all")
    page.get_by_label("Why?").fill("Only two rounds were held.")
    page.get_by_role("button", name="Save the rules").click()
    expect(page.get_by_text("Saved.")).to_be_visible()
    assert axe_violations(page) == []
    board = page_at(360)
    board.goto(f"{BOARD}table/")
    expect(board.get_by_text("Other rules: Only two rounds were held.").first).to_be_visible()
    assert axe_violations(board) == []
