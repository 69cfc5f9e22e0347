"""The secretary at the river: pegs kept, sections cut and moved, on a phone and by keyboard."""

from __future__ import annotations

from typing import Any

import pytest
from playwright.sync_api import expect

from matches.models import DrawnPeg, Match, Peg, Section, SectionPeg

from .conftest import FaultsSeen

WRONG = "number;depth_cm\n1;180\n2;deep\n2;90\n"
RIGHT = "number;side;along_m;depth_cm;power_lines\n" + "".join(
    f"{n};left;{(n - 1) * 12};{150 + n * 9};{'yes' if n == 20 else 'no'}\n" for n in range(1, 25)
)


PRESSED = "main :is(button, a.button, summary, select, input:not([type=checkbox]))"


@pytest.fixture
def long_bank(lasting_world: Any) -> Any:
    """Twenty-four pegs, nobody drawn, no section yet."""
    DrawnPeg.objects.all().delete()
    SectionPeg.objects.all().delete()
    Section.objects.all().delete()
    Match.objects.update(state="planned")
    Peg.objects.bulk_create(
        Peg(
            venue=lasting_world.venue,
            number=str(n),
            position=n,
            along_m=n * 12,
            depth_cm=150 + n * 7 % 60,
            power_lines=n == 20,
            steep_bank=n == 9,
            accessible=n == 7,
        )
        for n in range(7, 25)
    )
    return lasting_world


def held(world: Any) -> dict[str, list[str]]:
    return {
        section.label: [peg.peg.number for peg in section.section_pegs.order_by("peg__position")]
        for section in Section.objects.filter(match=world.match)
    }


def test_pegs_are_imported_on_a_phone_without_scripts(lasting_world: Any, signed_in: Any) -> None:
    page = signed_in("idris", 360, java_script_enabled=False)
    page.goto(f"/desk/venues/otterbeck/{lasting_world.venue.pk}/")
    page.get_by_role("link", name="Import a file").click()
    for text, name in ((WRONG, "Nothing is imported"), (RIGHT, "What would change")):
        page.set_input_files(
            "input[name=file]",
            {"name": "pegs.csv", "mimeType": "text/csv", "buffer": text.encode("utf-8-sig")},
        )
        page.get_by_role("button", name="Show what would change").click()
        expect(page.get_by_role("heading", name=name)).to_be_visible()
    page.get_by_role("button", name="Import these pegs").click()
    expect(page.get_by_text("18 new, 6 changed")).to_be_visible()
    assert Peg.objects.count() == 24
    expect(page.locator("svg[role=img]")).to_have_count(2)


@pytest.mark.parametrize("script", [True, False])
def test_sections_are_suggested_moved_and_saved_by_keyboard_alone(
    long_bank: Any, signed_in: Any, script: bool
) -> None:
    page = signed_in("idris", 360, java_script_enabled=script)
    page.goto(f"/desk/matches/{long_bank.match.pk}/pegs/")
    page.get_by_label("Even sections").fill("2")
    page.keyboard.press("Enter")
    expect(page.get_by_text("Not saved yet")).to_be_visible()
    page.get_by_role("button", name="Peg 13 to A").focus()
    page.keyboard.press("Enter")
    expect(page.get_by_role("button", name="Peg 14 to A")).to_be_focused()
    page.keyboard.press("Enter")
    expect(page.get_by_role("button", name="Peg 15 to A")).to_be_focused()
    page.keyboard.press("Shift+Tab")
    expect(page.get_by_role("button", name="Peg 14 to B")).to_be_focused()
    page.keyboard.press("Space")
    expect(page.locator("#pegs-0")).to_have_value("1-13")
    page.get_by_role("button", name="Save the sections").focus()
    page.keyboard.press("Enter")
    expect(page.get_by_text("The sections are saved.")).to_be_visible()
    assert held(long_bank) == {
        "A": [str(n) for n in range(1, 14)],
        "B": [str(n) for n in range(14, 25)],
    }


def test_a_tap_on_a_peg_moves_the_nearer_end_of_its_section_there(
    long_bank: Any, signed_in: Any
) -> None:
    page = signed_in("idris", 360)
    page.goto(f"/desk/matches/{long_bank.match.pk}/pegs/?sections=2")
    expect(page.get_by_text("Or tap a peg in the picture.")).to_be_visible()
    page.locator("g[data-peg='9']").click()
    expect(page.locator("#pegs-0")).to_have_value("1-9")
    expect(page.get_by_text("Or tap a peg in the picture.")).to_be_visible()
    page.locator("g[data-peg='11']").click()
    expect(page.locator("#pegs-0")).to_have_value("1-10")
    assert held(long_bank) == {}


def test_enter_in_a_field_shows_and_does_not_save(long_bank: Any, signed_in: Any) -> None:
    page = signed_in("idris", 360)
    page.goto(f"/desk/matches/{long_bank.match.pk}/pegs/?sections=2")
    page.locator("#pegs-0").fill("1-4, 6-12")
    page.keyboard.press("Enter")
    expect(page.get_by_text("Peg 5 is in no section")).to_be_visible()
    assert held(long_bank) == {}


def test_venue_and_section_pages_fit_read_and_press(
    long_bank: Any, signed_in: Any, faults_seen: FaultsSeen
) -> None:
    page = signed_in("idris", 360)

    def right(name: str) -> None:
        assert faults_seen(page, name, pressed=PRESSED) == []

    venue = f"/desk/venues/otterbeck/{long_bank.venue.pk}/"
    page.goto("/desk/venues/otterbeck/")
    page.get_by_text("Add a venue").click()
    right("venues")
    page.goto(venue)
    page.get_by_text("Name, water, time zone").click()
    right("venue")
    page.goto(f"{venue}pegs/")
    right("peg-new")
    page.goto(f"{venue}pegs/{Peg.objects.get(number='8').pk}/")
    page.get_by_text("Added by mistake?").click()
    right("peg")
    page.goto(f"{venue}file/")
    page.get_by_text("What the file looks like").click()
    right("peg-file")
    for text in (WRONG, RIGHT):
        page.set_input_files(
            "input[name=file]",
            {"name": "pegs.csv", "mimeType": "text/csv", "buffer": text.encode()},
        )
        with page.expect_navigation():
            page.get_by_role("button", name="Show what would change").click()
        right(f"peg-file-{'wrong' if text is WRONG else 'right'}")
    page.goto(f"/desk/matches/{long_bank.match.pk}/pegs/?sections=3")
    page.get_by_text("Leave pegs out", exact=True).click()
    page.get_by_text("In words").first.click()
    right("sections")
    with page.expect_navigation():
        page.get_by_role("button", name="Leave out 18-22").click()
    page.get_by_label("Pegs of a further section").fill("99")
    with page.expect_navigation():
        page.get_by_role("button", name="Save the sections").click()
    right("sections-wrong")
