"""Publishing in a real browser: objections at the desk, and on the board words, picture, digest."""

from __future__ import annotations

import re
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import Page, expect

from matches.models import (
    Angler,
    Bulletin,
    DrawnPeg,
    Entry,
    Match,
    Objection,
    Peg,
    Section,
    SectionPeg,
)
from matches.writes.bulletins import bulletin_publish
from tests.browser.conftest import sideways
from tests.fished import weigh

PageAt = Callable[..., Page]
Axe = Callable[[Page], list[str]]
BOARD = "/board/otterbeck/june-open/"


@pytest.fixture
def provisional(lasting_world: Any) -> Any:
    """Everybody weighed, bulletin 1 provisional with half an hour to object."""
    Match.objects.update(objection_min=30)
    lasting_world.match.refresh_from_db()
    for peg in "1245":
        weigh(lasting_world, peg, 1000 * int(peg))
    bulletin_publish(lasting_world.secretary, match=lasting_world.match)
    return lasting_world


def test_an_objection_is_noted_answered_and_the_result_confirmed_with_a_reason(
    provisional: Any, signed_in: PageAt, axe_violations: Axe
) -> None:
    page = signed_in("idris", 360)
    page.goto(f"/desk/matches/{provisional.match.pk}/publish/")
    expect(page.get_by_text(re.compile("minutes left")).first).to_be_visible()
    assert axe_violations(page) == []
    assert sideways(page) == 0
    page.get_by_label("Peg of who objects").fill("1")
    page.get_by_label("What is objected to?").fill("It was 1.100 kg.")
    page.get_by_role("button", name="Note it").click()
    expect(page.get_by_text("1 objection waits for its answer")).to_be_visible()
    assert axe_violations(page) == []
    page.get_by_role("button", name="Publish as confirmed").click()
    expect(page.get_by_text("Answer what was objected to before you confirm")).to_be_visible()
    page.get_by_label("What came of it?").fill("The sheet says 1.000 kg.")
    page.get_by_role("button", name="Answer it").click()
    expect(page.get_by_text("The objection is answered.")).to_be_visible()
    page.get_by_role("button", name="Publish as confirmed").click()
    expect(page.get_by_text("Bulletin 1 can be objected to until").first).to_be_visible()
    page.get_by_label("Why does it differ").fill("Everybody agreed at the scales.")
    page.get_by_role("button", name="Publish as confirmed").click()
    expect(page.get_by_text("Bulletin 2 is out. Anyone can read it now.")).to_be_visible()
    assert Bulletin.objects.get(number=2).reason == "Everybody agreed at the scales."
    assert Objection.objects.get().answer == "The sheet says 1.000 kg."


def test_the_words_for_a_message_are_copied_with_one_tap(
    provisional: Any, signed_in: PageAt
) -> None:
    page = signed_in("idris", 360, permissions=["clipboard-read", "clipboard-write"])
    page.goto(f"/desk/matches/{provisional.match.pk}/publish/")
    page.get_by_role("button", name="Copy").click()
    expect(page.get_by_text("Copied.")).to_be_visible()
    copied = page.evaluate("navigator.clipboard.readText()")
    assert copied.replace("\r\n", "\n") == page.locator("#message").input_value()
    assert "1. Odette Marl (Otterbeck Teals), 5.000 kg" in copied


def test_anybody_checks_the_digest_on_the_page(provisional: Any, page_at: PageAt) -> None:
    page = page_at(360)
    page.goto(BOARD)
    page.get_by_role("button", name="Check it here").click()
    expect(page.get_by_text("It is: the file has this digest.")).to_be_visible()
    page.route("**/result.json", lambda route: route.fulfill(body='{"number":1}'))
    page.get_by_role("button", name="Check it here").click()
    expect(page.get_by_text("It is not: the file has another digest")).to_be_visible()


def test_the_picture_is_kept_as_a_png_of_its_own_size(
    provisional: Any, page_at: PageAt, tmp_path: Path, axe_violations: Axe
) -> None:
    page = page_at(360)
    page.goto(BOARD)
    page.get_by_text("A picture for sharing").click()
    for n, size in enumerate([(1200, 630), (1080, 1080)]):
        figure = page.locator("figure[data-card]").nth(n)
        with page.expect_download() as waiting:
            figure.get_by_role("button", name="Keep as PNG").click()
        waiting.value.save_as(tmp_path / "card.png")
        png = (tmp_path / "card.png").read_bytes()
        assert png[:8] == b"\x89PNG\r\n\x1a\n"
        # The width and the height stand in the first chunk (PNG, third edition, 11.2.1).
        assert (int.from_bytes(png[16:20]), int.from_bytes(png[20:24])) == size
    assert axe_violations(page) == []
    assert sideways(page) == 0


def test_no_line_of_the_picture_runs_over_its_edge(provisional: Any, page_at: PageAt) -> None:
    Match.objects.update(name="WWWWW MMMMM " * 9)
    Angler.objects.update(name="WILHELMINA WWWWMMMM-WHITTLETHWAITE OF THE WEIR")
    bulletin_publish(provisional.secretary, match=provisional.match, reason="Wide letters.")
    page = page_at(1280)
    for card in ("card.svg", "card-square.svg"):
        page.goto(f"{BOARD}2/{card}")
        over = page.evaluate(
            "[...document.querySelectorAll('text')].map(t => t.getBBox())"
            ".filter(b => b.x + b.width > document.documentElement.viewBox.baseVal.width - 20)"
            ".length"
        )
        assert over == 0


def test_thirty_six_anglers_in_three_sections_print_on_one_sheet(
    lasting_world: Any, page_at: PageAt
) -> None:
    world = lasting_world
    thirty_six(world)
    bulletin_publish(world.secretary, match=world.match)
    page = page_at(1280)
    page.goto(BOARD)
    assert len(re.findall(rb"/Type\s*/Page[^s]", page.pdf(format="A4"))) == 1


def thirty_six(world: Any) -> None:
    """Twelve pegs in each of three sections, everybody weighed."""
    DrawnPeg.objects.all().delete()
    Entry.objects.all().delete()
    SectionPeg.objects.all().delete()
    Peg.objects.all().delete()
    third = Section.objects.create(match=world.match, label="C", position=3)
    sections = [world.sections["A"], world.sections["B"], third]
    for n in range(36):
        peg = Peg.objects.create(venue=world.venue, number=str(n + 1), position=n + 1)
        on = SectionPeg.objects.create(match=world.match, section=sections[n // 12], peg=peg)
        team = (world.alders, world.teals)[n % 2]
        angler = Angler.objects.create(club=world.club, name=f"Wilmot Angler {n + 1}", team=team)
        entry = Entry.objects.create(match=world.match, angler=angler, team=team)
        DrawnPeg.objects.create(match=world.match, entry=entry, section_peg=on)
        weigh(world, str(n + 1), n * 137 % 5000 + 1)


def test_the_page_reads_and_compares_without_script(provisional: Any, page_at: PageAt) -> None:
    for n, peg in enumerate("12", 2):
        Match.objects.update(name=f"June Open, {peg}")
        bulletin_publish(provisional.secretary, match=provisional.match, reason=f"Name {n}.")
    page = page_at(360, java_script_enabled=False)
    page.goto(BOARD)
    expect(page.get_by_text(re.compile("minutes left"))).to_be_visible()
    expect(page.get_by_role("button", name="Check it here")).to_be_hidden()
    page.get_by_label("Compare with bulletin").select_option("1")
    page.get_by_role("button", name="Compare").click()
    expect(page.get_by_role("heading", name="What changed since bulletin 1")).to_be_visible()
