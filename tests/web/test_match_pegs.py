"""A match's pegs and sections over HTTP: left out, cut, moved, saved, and what may not be."""

from __future__ import annotations

from typing import Any

import pytest
from django.db import connection
from django.test import Client
from django.test.utils import CaptureQueriesContext

from matches.models import (
    AuditEntry,
    Draw,
    DrawnPeg,
    Entry,
    Match,
    Peg,
    PegLeftOut,
    Section,
    SectionPeg,
)
from matches.writes.draws import draw_commit, draw_hold
from tests.clients import signed_in
from tests.fished import weigh

QUERIES_MOST = 10


def at(world: Any) -> str:
    return f"/desk/matches/{world.match.pk}/pegs/"


def form(*rows: tuple[str, str], **more: str) -> dict[str, str]:
    sent = {"do": "save", **more}
    for n, (label, pegs) in enumerate(rows):
        sent |= {f"label-{n}": label, f"pegs-{n}": pegs}
    return sent


def sections(world: Any) -> dict[str, list[str]]:
    found: dict[str, list[str]] = {s.label: [] for s in Section.objects.filter(match=world.match)}
    for peg in SectionPeg.objects.filter(match=world.match).order_by("peg__position"):
        found[peg.section.label].append(peg.peg.number)
    return found


def out(world: Any) -> dict[str, str]:
    rows = PegLeftOut.objects.filter(match=world.match)
    return dict(rows.values_list("peg__number", "reason"))


@pytest.fixture
def secretary(world: Any) -> Client:
    return signed_in(world.secretary)


@pytest.fixture
def planned(world: Any) -> Any:
    """The world before its draw."""
    DrawnPeg.objects.all().delete()
    Match.objects.update(state="planned")
    return world


@pytest.fixture
def drawn(planned: Any) -> Any:
    """The world after a draw that can be checked."""
    draw_commit(planned.secretary, match=planned.match, mode="open")
    draw_hold(planned.secretary, match=planned.match)
    return planned


# Who may -------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    "sent",
    [
        form(("A", "1-6")),
        {"do": "leave-out", "pegs": "3", "reason": "Weed"},
        {"do": "back", "peg": "6"},
    ],
)
def test_who_may_not_changes_nothing(planned: Any, sent: dict[str, str]) -> None:
    PegLeftOut.objects.create(match=planned.match, peg=planned.pegs["6"].peg, reason="Snag")
    before = sections(planned)
    assert signed_in(planned.captain).post(at(planned), sent).status_code == 403
    assert (sections(planned), out(planned)) == (before, {"6": "Snag"})


def test_the_secretary_finds_the_page_from_the_match(world: Any, secretary: Client) -> None:
    assert at(world) in secretary.get(f"/desk/matches/{world.match.pk}/").content.decode()
    member = signed_in(world.member).get(f"/desk/matches/{world.match.pk}/")
    assert at(world) not in member.content.decode()


# Sections ------------------------------------------------------------------------------------


def test_a_suggestion_is_shown_and_nothing_is_saved(planned: Any, secretary: Client) -> None:
    page = secretary.get(at(planned), {"sections": "3"}).content.decode()
    assert "Not saved yet" in page
    for row in ('value="1, 2"', 'value="3, 4"', 'value="5, 6"'):
        assert row in page
    assert sections(planned) == {"A": ["1", "2", "3"], "B": ["4", "5", "6"]}


def test_a_suggestion_skips_what_is_left_out_and_says_what_is_uneven(
    planned: Any, secretary: Client
) -> None:
    PegLeftOut.objects.create(match=planned.match, peg=planned.pegs["2"].peg, reason="Snag")
    SectionPeg.objects.filter(peg__number="2").delete()
    page = secretary.get(at(planned), {"sections": "2"}).content.decode()
    assert 'value="1-4"' in page
    assert "5 pegs do not come out even: A 3, B 2." in page


@pytest.mark.parametrize("asked", ["4", "0", "x", "99999", "-1"])
def test_a_count_that_cannot_be_is_refused_and_what_is_saved_stays_shown(
    planned: Any, secretary: Client, asked: str
) -> None:
    page = secretary.get(at(planned), {"sections": asked}).content.decode()
    assert "6 pegs make 1 to 3 sections" in page
    assert 'value="1-3"' in page


def test_sections_are_saved_once_with_one_row_of_the_trail(planned: Any, secretary: Client) -> None:
    sent = form(("A", "1-2"), ("Weir", "3-6"))
    for _ in range(2):
        secretary.post(at(planned), sent)
    assert sections(planned) == {"A": ["1", "2"], "Weir": ["3", "4", "5", "6"]}
    [row] = AuditEntry.objects.all()
    assert (row.verb, row.person) == ("sections_set", planned.secretary)
    assert row.detail["before"] == {"A": ["1", "2", "3"], "B": ["4", "5", "6"]}
    assert row.detail["after"] == {"A": ["1", "2"], "Weir": ["3", "4", "5", "6"]}


@pytest.mark.parametrize(
    ("sent", "said"),
    [
        (form(("A", "1-4"), ("B", "4-6")), "Peg 4 is in section A already"),
        (form(("A", "1-5"), ("B", "6")), "One peg is no section"),
        (form(("A", "1-3"), ("A", "4-6")), "Another section has this name"),
        (form(("A", "1-9")), "There is no peg “1-9” here"),
        (form(("A", "")), "Put the pegs in at least one section."),
        (form(), "Put the pegs in at least one section."),
    ],
)
def test_wrong_sections_are_refused_and_what_was_typed_stays(
    planned: Any, secretary: Client, sent: dict[str, str], said: str
) -> None:
    before = sections(planned)
    page = secretary.post(at(planned), sent).content.decode()
    assert said in page
    assert all(f'value="{text}"' in page for key, text in sent.items() if key.startswith("pegs"))
    assert sections(planned) == before
    assert AuditEntry.objects.count() == 0


def test_a_boundary_moves_without_saving_and_keeps_the_button_at_hand(
    planned: Any, secretary: Client
) -> None:
    rows = (("A", "1-3"), ("B", "4-6"))
    page = secretary.post(at(planned), form(*rows, do="down:0")).content.decode()
    assert 'value="1-4"' in page
    assert 'value="5, 6"' in page
    assert 'value="down:0" autofocus' in page
    page = secretary.post(at(planned), form(*rows, do="up:0")).content.decode()
    assert 'value="1, 2"' in page
    narrow = (("A", "1-4"), ("B", "5-6"))
    page = secretary.post(at(planned), form(*narrow, do="down:0")).content.decode()
    assert "Section B would be left with fewer than two pegs" in page
    page = secretary.post(at(planned), form(*rows, do="to", to="5")).content.decode()
    assert 'value="1-4"' in page
    assert 'value="5, 6"' in page
    for odd in ("down:7", "up:x", "down:", "to"):
        assert secretary.post(at(planned), form(*rows, do=odd)).status_code == 200
    assert sections(planned) == {"A": ["1", "2", "3"], "B": ["4", "5", "6"]}


def test_end_pegs_and_who_sits_where_are_said_in_words(world: Any, secretary: Client) -> None:
    Peg.objects.filter(number="2").update(power_lines=True, accessible=True)
    page = secretary.get(at(world)).content.decode()
    assert "<li>Peg 1 (end peg): Maud Ferris</li>" in page
    assert "<li>Peg 2 (reached with a wheelchair, power lines): Perrin Stoat</li>" in page
    assert "<li>Peg 3</li>" in page
    assert "<li>Peg 6 (end peg)</li>" in page
    assert page.count('class="strip-float"') == 4
    assert "to weigh" not in page


def test_fewer_pegs_than_anglers_and_pegs_of_no_section_are_said(
    planned: Any, secretary: Client
) -> None:
    page = secretary.post(at(planned), form(("A", "1-3"), do="look")).content.decode()
    assert "4 are entered and 3 pegs are in sections: add pegs, or 1 sit out." in page
    assert "Pegs 4-6 are in no section: nobody draws them." in page
    assert "uneven" not in page
    page = secretary.post(at(planned), form(("A", "1-4"), ("B", "5-6"), do="look")).content.decode()
    assert "The sections are uneven: A 4, B 2." in page


def test_a_section_on_both_banks_is_said(planned: Any, secretary: Client) -> None:
    Peg.objects.filter(number__in=["5", "6"]).update(side="right")
    Peg.objects.exclude(number__in=["5", "6"]).update(side="left")
    page = secretary.get(at(planned)).content.decode()
    assert "Section B has pegs on both banks." in page
    assert "Section A has pegs on both banks." not in page


# What holds them -----------------------------------------------------------------------------


def test_after_the_draw_a_change_needs_everybody_to_draw_again(
    drawn: Any, secretary: Client
) -> None:
    before = sections(drawn)
    sent = form(("A", "1-4"), ("B", "5-6"))
    page = secretary.post(at(drawn), sent).content.decode()
    assert "Tick that everybody draws again" in page
    assert (sections(drawn), DrawnPeg.objects.count()) == (before, 4)
    said = secretary.post(at(drawn), {**sent, "again": "yes"}, follow=True).content.decode()
    assert "hold another draw, with a reason" in said
    assert sections(drawn) == {"A": ["1", "2", "3", "4"], "B": ["5", "6"]}
    drawn.match.refresh_from_db()
    assert (DrawnPeg.objects.count(), drawn.match.state) == (0, "planned")
    assert AuditEntry.objects.get(verb="sections_set").detail["pegs_emptied"] == 4
    draw_commit(drawn.secretary, match=drawn.match, mode="open", reason="Other sections")
    draw_hold(drawn.secretary, match=drawn.match)
    assert Draw.objects.last().asked["sections"][0]["pegs"] == ["1", "2", "3", "4"]


def test_saving_the_same_after_the_draw_changes_nothing(drawn: Any, secretary: Client) -> None:
    secretary.post(at(drawn), form(("A", "1-3"), ("B", "4-6"), again="yes"))
    assert DrawnPeg.objects.count() == 4
    assert not AuditEntry.objects.filter(verb="sections_set").exists()


@pytest.mark.parametrize("again", ["", "yes"])
def test_once_weights_came_in_the_sections_stay(world: Any, secretary: Client, again: str) -> None:
    Match.objects.update(state="drawn")
    weigh(world, "1", 1200, by=world.secretary)
    before, rows = sections(world), AuditEntry.objects.count()
    for sent in (
        form(("A", "1-4"), ("B", "5-6"), again=again),
        {"do": "leave-out", "pegs": "3", "reason": "Weed", "again": again},
    ):
        assert "Weights have come in" in secretary.post(at(world), sent).content.decode()
    assert (sections(world), out(world), DrawnPeg.objects.count()) == (before, {}, 4)
    assert AuditEntry.objects.count() == rows
    Peg.objects.filter(number="3").update(power_lines=True)
    page = secretary.get(at(world)).content.decode()
    for offer in ("Save the sections", "Leave out 3", "Suggest", "Peg 4 to A"):
        assert offer not in page


# Left out ------------------------------------------------------------------------------------


def test_pegs_are_left_out_with_a_reason_and_leave_their_section(
    planned: Any, secretary: Client
) -> None:
    sent = {"do": "leave-out", "pegs": "3, 6", "reason": " Weed "}
    secretary.post(at(planned), sent)
    assert out(planned) == {"3": "Weed", "6": "Weed"}
    assert sections(planned) == {"A": ["1", "2"], "B": ["4", "5"]}
    assert AuditEntry.objects.get().verb == "pegs_leave_out"
    said = secretary.post(at(planned), {"do": "back", "peg": "3"}, follow=True).content.decode()
    assert "put it into a section" in said
    assert "Peg 3 is in no section" in said
    assert out(planned) == {"6": "Weed"}


@pytest.mark.parametrize(
    ("pegs", "reason", "said"),
    [
        ("3", " ", "Say why in up to 200 characters"),
        ("3", "x" * 201, "Say why in up to 200 characters"),
        ("3", "a\0", "Say why in up to 200 characters"),
        ("", "Weed", "No peg of these is fished"),
        ("99", "Weed", "There is no peg “99” here"),
        ("2-3", "Weed", "Section A would be left with one peg"),
    ],
)
def test_a_peg_wrongly_left_out_is_refused_and_what_was_typed_stays(
    planned: Any, secretary: Client, pegs: str, reason: str, said: str
) -> None:
    before = sections(planned)
    sent = {"do": "leave-out", "pegs": pegs, "reason": reason}
    page = secretary.post(at(planned), sent).content.decode()
    assert said in page
    assert f'value="{pegs}"' in page
    assert (sections(planned), out(planned)) == (before, {})


def test_a_whole_section_may_be_left_out(planned: Any, secretary: Client) -> None:
    secretary.post(at(planned), {"do": "leave-out", "pegs": "4-6", "reason": "Flood"})
    assert sections(planned) == {"A": ["1", "2", "3"]}


def test_leaving_out_a_drawn_peg_needs_everybody_to_draw_again(
    drawn: Any, secretary: Client
) -> None:
    sent = {"do": "leave-out", "pegs": "3", "reason": "Weed"}
    assert "Tick that everybody draws again" in secretary.post(at(drawn), sent).content.decode()
    assert (out(drawn), DrawnPeg.objects.count()) == ({}, 4)
    secretary.post(at(drawn), {**sent, "again": "yes"})
    assert (out(drawn), DrawnPeg.objects.count()) == ({"3": "Weed"}, 0)


def test_pegs_at_power_lines_are_offered_for_leaving_out_with_the_rules_first(
    planned: Any, secretary: Client
) -> None:
    for number, along in (("4", 50), ("5", 70), ("6", 100)):
        Peg.objects.filter(number=number).update(along_m=along, power_lines=number == "4")
    page = secretary.get(at(planned)).content.decode()
    assert "Leave out 4, 5" in page
    assert "The water’s own rules come first" in page
    sent = {"do": "leave-out", "pegs": "4", "reason": "Power lines"}
    secretary.post(at(planned), sent)
    assert "Leave out 5" in secretary.get(at(planned)).content.decode()


def test_a_retired_peg_still_in_a_section_is_said(planned: Any, secretary: Client) -> None:
    Peg.objects.filter(number="2").update(retired=True)
    page = secretary.get(at(planned)).content.decode()
    assert "Retired, but still in a section here: 2." in page
    secretary.post(at(planned), form(("A", "1, 3"), ("B", "4-6")))
    assert "Retired, but still" not in secretary.get(at(planned)).content.decode()


def test_the_page_asks_as_little_with_three_hundred_pegs(world: Any, secretary: Client) -> None:
    pegs = Peg.objects.bulk_create(
        Peg(venue=world.venue, number=f"x{n}", position=n, power_lines=n % 9 == 0)
        for n in range(10, 310)
    )
    section = Section.objects.create(match=world.match, label="C", position=3)
    SectionPeg.objects.bulk_create(
        SectionPeg(match=world.match, section=section, peg=peg) for peg in pegs
    )
    Match.objects.update(state="planned")
    with CaptureQueriesContext(connection) as caught:
        assert secretary.get(at(world)).status_code == 200
    assert len(caught) <= QUERIES_MOST
    assert Entry.objects.count() == 4
