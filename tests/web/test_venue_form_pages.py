"""How the pegs of a venue fish, as the secretary reads it."""

from __future__ import annotations

from typing import Any

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext

from matches.models import AuditEntry, Bulletin, Match
from tests.clients import signed_in


def published(
    world: Any, *, number: int, order: tuple[str, ...] = ("1", "2", "4", "5"), level: str = ""
) -> None:
    """A match of one section whose pegs ended in this order."""
    match = Match.objects.get(pk=world.match.pk)
    match.pk, match.slug, match.river_level = None, f"earlier-{number}", level
    match.save()
    entries = [
        {"peg": peg, "place": str(place), "status": "entered"} for place, peg in enumerate(order, 1)
    ]
    entries.append({"peg": "6", "place": "9", "status": "absent"})
    Bulletin.objects.create(
        match=match,
        number=1,
        body={"sections": [{"label": "A", "entries": entries}]},
        digest="0" * 64,
        confirmed=True,
        published_by=world.secretary,
    )


def seen(world: Any, who: str = "secretary") -> tuple[int, str]:
    client = signed_in(getattr(world, who))
    answer = client.get(f"/desk/venues/otterbeck/{world.venue.pk}/form/")
    return answer.status_code, answer.content.decode()


def test_no_peg_is_called_good_on_three_matches_and_one_is_on_twelve(world: Any) -> None:
    for number in range(3):
        published(world, number=number)
    page = seen(world)[1]
    assert page.count("too few to say") == 4
    assert "good peg" not in page.split("What it cannot tell")[0].split("<tbody>")[1]
    for number in range(3, 12):
        published(world, number=number)
    rows = seen(world)[1].split("<tbody>")[1].split("</tbody>")[0]
    assert "12 matches" in rows
    assert rows.index("good peg") < rows.index("hard peg")
    assert "seen 100 %" in rows


def test_without_a_published_match_it_says_what_is_missing(world: Any) -> None:
    assert "at least four pegs must have been fished here" in seen(world)[1]


@pytest.mark.parametrize("who", ["captain", "member", "outsider"])
def test_it_is_the_secretarys(world: Any, who: str) -> None:
    assert seen(world, who)[0] in (403, 404)


def test_how_pegs_fish_in_high_water_stands_once_it_was_fished_often_enough(world: Any) -> None:
    for number in range(9):
        published(world, number=number, level="high" if number < 5 else "low")
    for number, board in ((0, 95), (1, 120), (8, -4)):
        Match.objects.filter(slug=f"earlier-{number}").update(board_cm=board)
    page = seen(world)[1]
    levels = page[page.index("By level of the river") : page.index("What it cannot tell")]
    assert "<b>" in levels
    assert "high, 95 to 120 cm" in levels
    assert "low, -4 cm" in levels
    assert levels.count("4 matches") == 5
    summer = page[page.index("By season of the year") : page.index("By level of the river")]
    assert "16 June to August" in summer
    assert "9 matches" in summer


def settings(world: Any, **sent: str) -> str:
    client = signed_in(world.secretary)
    at = f"/desk/matches/{world.match.pk}/settings/"
    return client.post(at, {"do": "river", **sent}, follow=True).content.decode()


def test_the_secretary_says_how_the_river_ran_also_after_the_match(world: Any) -> None:
    Match.objects.filter(pk=world.match.pk).update(state="confirmed")
    assert "Saved." in settings(world, river_level="high", board_cm="-12")
    match = Match.objects.get(pk=world.match.pk)
    assert (match.river_level, match.board_cm) == ("high", -12)
    audit = AuditEntry.objects.get(verb="match_river_set")
    assert audit.detail["before"] == {"river_level": "", "board_cm": None}
    assert "Nothing differed" in settings(world, river_level="high", board_cm="-12")
    assert "Saved." in settings(world, river_level="", board_cm="")


@pytest.mark.parametrize(
    "sent",
    [
        {"river_level": "flood"},
        {"board_cm": "2001"},
        {"board_cm": "1.5"},
        {"board_cm": "²"},
        {"board_cm": "--3"},
        {"river_level": "low", "mark": "old"},
    ],
)
def test_a_river_that_cannot_be_is_not_saved(world: Any, sent: dict[str, str]) -> None:
    page = settings(world, **sent)
    assert "Nothing is saved yet" in page
    assert 'class="field-error"' in page
    assert Match.objects.get(pk=world.match.pk).river_level == ""
    assert not AuditEntry.objects.filter(verb="match_river_set").exists()


def test_many_matches_take_no_more_queries(world: Any) -> None:
    client = signed_in(world.secretary)
    found = []
    for numbers in (range(2), range(2, 12)):
        for number in numbers:
            published(world, number=number)
        with CaptureQueriesContext(connection) as queries:
            client.get(f"/desk/venues/otterbeck/{world.venue.pk}/form/")
        found.append(len(queries))
    assert found[1] <= found[0] <= 12
