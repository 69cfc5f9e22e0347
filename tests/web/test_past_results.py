"""Results of before from the club's own book: read strictly, and told from what was published."""

from __future__ import annotations

import datetime as dt
from typing import Any

import pytest
from django.test import Client

from matches.models import Angler, AuditEntry, Bulletin, Match, PastMatch, PastResult
from matches.reads.peg_form import past_at, venue_form
from matches.reckon.peg_form import Finish
from matches.writes.bulletins import bulletin_publish
from tests.clients import signed_in
from tests.fished import weigh_all
from tests.sheets import file_of, xlsx
from tests.web.test_files_in import FILES, page, press, sent
from tests.web.test_files_out import taken

DAY = dt.date(2019, 6, 8)
HEADS = ["Date", "Water", "Match", "Name", "Peg", "Section", "Weight", "Pos", "Pts"]
BOOK = [
    HEADS,
    [
        dt.date(2019, 6, 8),
        "tolling meadow",
        "Spring Open",
        "maud ferris",
        1,
        "A",
        "12.450 kg",
        1,
        1,
    ],
    ["8/6/2019", "Tolling Meadow", None, "Old Tom", 2, "A", "850 g", 2, 2],
    ["8 June 2019", "Tolling Meadow", "", "Perrin Stoat", "3", "A", "DNW", None, 3.5],
    ["2019-06-09", "Tolling Meadow", "Sunday", "Old Tom", 2, None, None, 1, None],
    ["2019-06-09", "Tolling Meadow", "Sunday", "Maud Ferris", 4, None, None, 2, None],
]


@pytest.fixture
def desk(world: Any) -> Client:
    return signed_in(world.secretary)


def test_a_book_of_results_comes_in_once_and_is_no_match_of_here(world: Any, desk: Client) -> None:
    before = Match.objects.count(), Bulletin.objects.count()
    address = sent(desk, "results", xlsx(*BOOK))
    assert "kept by name alone: Old Tom" in page(desk, address)
    press(desk, address)
    first = PastMatch.objects.get(date=DAY)
    assert (first.name, first.weight_unit, first.venue) == ("Spring Open", "g", world.venue)
    maud = Angler.objects.get(name="Maud Ferris")
    assert first.results.get(angler=maud).weight == 12_450
    assert first.results.get(name="Old Tom").angler is None
    assert str(first.results.get(angler__name="Perrin Stoat").points) == "3.50"
    assert (Match.objects.count(), Bulletin.objects.count()) == before
    assert AuditEntry.objects.filter(verb="past_results_import").count() == 1
    assert "up to date" in page(desk, sent(desk, "results", xlsx(*BOOK)))
    press(desk, sent(desk, "results", xlsx(HEADS, [*BOOK[1][:6], "12.5 kg", None, None])))
    assert first.results.get(angler=maud).weight == 12_500 and PastResult.objects.count() == 5


def test_how_pegs_fish_reads_them_and_says_where_they_come_from(world: Any, desk: Client) -> None:
    press(desk, sent(desk, "results", xlsx(*BOOK)))
    first, second = past_at(world.venue)
    assert first.finishes == (Finish("1", 1, 2), Finish("2", 2, 2))
    assert second.finishes == (Finish("2", 1, 2), Finish("4", 2, 2))
    rows = [
        [
            f"2018-{month:02d}-05",
            "Tolling Meadow",
            "",
            f"Angler {peg}",
            peg,
            "A",
            f"{peg} kg",
            "",
            "",
        ]
        for month in range(4, 10)
        for peg in range(1, 7)
    ]
    press(desk, sent(desk, "results", xlsx(HEADS, *rows)))
    found = venue_form(world.venue)
    assert (found.matches, found.past) == (0, 8)
    forms = {peg.number: form for peg, form in found.pegs}
    assert forms["6"] and forms["6"].matches == 6 and forms["6"].verdict == "good"
    shown = page(desk, f"/desk/venues/otterbeck/{world.venue.pk}/form/")
    assert "0 published matches · 8 matches of before, from the club’s own book" in shown


def test_what_was_published_here_stands(world: Any, desk: Client) -> None:
    weigh_all(world, {"1": 9000, "2": 100, "4": 100, "5": 100})
    bulletin_publish(world.secretary, match=world.match)
    row = ["2026-06-20", "Tolling Meadow", "", "Maud Ferris", 1, "A", "1 kg", 1, 1]
    assert "its bulletin stands" in page(desk, sent(desk, "results", xlsx(HEADS, row)))


@pytest.mark.parametrize(
    ("change", "words"),
    [
        ({0: "31/2/2019"}, "Write the day"),
        ({0: "2999-01-01"}, "not over"),
        ({1: "Tolling Meadw"}, "Is it “Tolling Meadow”?"),
        ({1: None}, "Write this in 1 to 120"),
        ({3: None}, "Write this in 1 to 120"),
        ({4: "123456789"}, "Write this in 1 to 8"),
        ({6: 12.45}, "Write the weight"),
        ({6: "1e400"}, "Write the weight"),
        ({6: "3 lb 2 oz"}, "weighed in other units"),
        ({3: "OLD TOM"}, "in row 3 of this match already"),
        ({2: "Another Cup"}, "is called Spring Open"),
        ({7: 0}, "Write a place"),
        ({8: "2.123"}, "Write points"),
        ({8: "-1"}, "Write points"),
    ],
)
def test_a_result_that_cannot_be_is_told(
    world: Any, desk: Client, change: dict[int, Any], words: str
) -> None:
    bad = [change.get(n, cell) for n, cell in enumerate(BOOK[3])]
    shown = page(desk, sent(desk, "results", xlsx(*BOOK[:3], bad)))
    assert words in shown and 'name="seen"' not in shown


def test_they_go_out_as_they_came_in(world: Any, desk: Client) -> None:
    press(desk, sent(desk, "results", xlsx(*BOOK)))
    pounds = ["2018-05-05", "Tolling Meadow", "", "Old Tom", "1", "", "27-6-8", "", ""]
    press(desk, sent(desk, "results", xlsx(HEADS, pounds)))
    raw = taken(desk).read("past_results.csv")
    assert b"27 lb 6 oz 8 dr" in raw
    answer = desk.post(f"{FILES}in/results/", {"file": file_of(raw)}, follow=True)
    assert "up to date" in answer.content.decode()
