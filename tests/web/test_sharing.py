"""What is shared of a result: words, a picture, files others may keep, and any two compared."""

from __future__ import annotations

import datetime as dt
import re
import xml.etree.ElementTree as ET
from typing import Any

import pytest
from django.db import connection
from django.test import Client
from django.test.utils import CaptureQueriesContext
from django.utils import timezone

from matches.models import Bulletin, Match
from tests.big_match import big_match_make
from tests.clients import signed_in
from tests.fished import publish, weigh, weigh_all

pytestmark = pytest.mark.django_db

AT = "/board/otterbeck/june-open/"
SVG = "{http://www.w3.org/2000/svg}"
FILES = ("result.csv", "result.json", "result.txt", "card.svg", "card-square.svg")


@pytest.fixture
def anybody() -> Client:
    return Client(HTTP_HOST="localhost")


def text(anybody: Client, address: str) -> str:
    answer = anybody.get(AT + address)
    assert answer.status_code == 200
    return str(answer.content.decode())


def test_the_message_has_first_places_teams_sections_biggest_and_the_address(
    world: Any, anybody: Client
) -> None:
    weigh_all(world, {"1": 4250, "2": 3120, "4": 5310, "5": 860})
    publish(world)
    assert text(anybody, "1/result.txt") == (
        "June Open\n"
        "Otterbeck Piscatorials\n"
        "Tolling Meadow, Wend, 20 June 2026\n"
        "Bulletin 1, provisional\n"
        "\n"
        "Over all sections\n"
        "1. Wilmot Crane (Otterbeck Alders), 5.310 kg\n"
        "2. Maud Ferris (Otterbeck Alders), 4.250 kg\n"
        "3. Perrin Stoat (Otterbeck Teals), 3.120 kg\n"
        "\n"
        "Teams\n"
        "1. Otterbeck Alders, 2 points\n"
        "2. Otterbeck Teals, 4 points\n"
        "\n"
        "Section A: Maud Ferris (peg 1, 4.250 kg)\n"
        "Section B: Wilmot Crane (peg 4, 5.310 kg)\n"
        "Biggest weight: Wilmot Crane, 5.310 kg\n"
        "\n"
        "Everything: http://localhost/board/otterbeck/june-open/1/\n"
    )


def test_of_equals_all_are_named_in_the_message(world: Any, anybody: Client) -> None:
    weigh_all(world, {"1": 4250, "2": 4250})
    publish(world)
    assert "Section A: Maud Ferris (peg 1, 4.250 kg), Perrin Stoat (peg 2, 4.250 kg)" in text(
        anybody, "1/result.txt"
    )


def test_a_result_with_nobody_weighed_can_be_told_and_drawn(world: Any, anybody: Client) -> None:
    publish(world)
    assert "Section A" not in text(anybody, "1/result.txt")
    assert "June Open" in text(anybody, "1/card.svg")


@pytest.mark.parametrize(
    ("file", "size"), [("card.svg", ("1200", "630")), ("card-square.svg", ("1080", "1080"))]
)
def test_the_picture_stands_on_its_own_and_cuts_long_names(
    world: Any, anybody: Client, file: str, size: tuple[str, str]
) -> None:
    Match.objects.update(name="The Long Summer Evening Open on the Lower Meadow " * 2)
    world.entries["Maud"].angler.name = "Maudlin Ferris-Featherstonehaugh of the Upper Weir Pool"
    world.entries["Maud"].angler.save()
    weigh_all(world, {"1": 4250, "2": 3120, "4": 5310, "5": 860})
    publish(world)
    root = ET.fromstring(text(anybody, f"1/{file}"))
    assert (root.get("width"), root.get("height")) == size
    lines = root.findall(f"{SVG}text")
    assert any((line.text or "").startswith("2  Maudlin Ferris") for line in lines)
    assert any((line.text or "").endswith("…") for line in lines)
    for line in lines:
        assert int(line.get("y", "")) < int(size[1])
    feet = [(line.get("x"), line.get("y")) for line in lines]
    assert len(set(feet)) == len(feet)
    assert not re.search(r"href|style=|<style|<script|font-face", text(anybody, f"1/{file}"))


def test_markup_in_a_name_is_letters_in_the_picture(world: Any, anybody: Client) -> None:
    world.entries["Maud"].angler.name = "<script>alert(1)</script>&"
    world.entries["Maud"].angler.save()
    weigh(world, "1", 4250)
    publish(world)
    assert "<script" not in text(anybody, "1/card.svg")
    root = ET.fromstring(text(anybody, "1/card.svg"))
    assert any("<script>alert(1)" in (line.text or "") for line in root.iter(f"{SVG}text"))


def test_a_junior_is_shared_by_initials(world: Any, anybody: Client) -> None:
    world.entries["Odette"].angler.junior = True
    world.entries["Odette"].angler.save()
    weigh_all(world, {"1": 1, "2": 2, "4": 3, "5": 9000})
    publish(world)
    for file in FILES:
        told = text(anybody, f"1/{file}")
        assert "Odette" not in told and "O. M." in told


@pytest.mark.parametrize("file", FILES)
def test_who_holds_a_file_of_a_bulletin_is_not_sent_it_again(
    world: Any, anybody: Client, file: str
) -> None:
    weigh(world, "1", 4250)
    publish(world)
    first = anybody.get(f"{AT}1/{file}")
    assert "immutable" not in first["Cache-Control"]  # a name may have to go from it
    assert "max-age=" in first["Cache-Control"]
    again = anybody.get(f"{AT}1/{file}", HTTP_IF_NONE_MATCH=first["ETag"])
    assert (again.status_code, again.content) == (304, b"")
    assert anybody.get(f"{AT}2/{file}").status_code == 404


def test_the_page_is_kept_for_seconds_and_known_again_until_it_says_something_else(
    world: Any, anybody: Client
) -> None:
    fact = weigh(world, "1", 4250)
    publish(world)
    first = anybody.get(AT)
    assert first["Cache-Control"] == "public, max-age=15"
    assert anybody.get(AT, HTTP_IF_NONE_MATCH=first["ETag"]).status_code == 304
    numbered = anybody.get(AT + "1/")
    weigh(world, "1", 5240, supersedes=fact.pk)
    publish(world, reason="The figures were swapped.")
    assert anybody.get(AT, HTTP_IF_NONE_MATCH=first["ETag"]).status_code == 200
    assert anybody.get(AT + "1/", HTTP_IF_NONE_MATCH=numbered["ETag"]).status_code == 200


def test_a_page_with_somebodys_name_on_it_is_kept_by_nobody(world: Any) -> None:
    publish(world)
    client = signed_in(world.member)
    assert "public" not in client.get(AT).get("Cache-Control", "")


def test_the_board_counts_down_the_time_to_object(world: Any, anybody: Client) -> None:
    world.match.objection_min = 30
    world.match.save()
    made = publish(world)
    page = text(anybody, "")
    assert "Objections until" in page
    assert re.search(r"(30|31) minutes left\.", page)
    assert "objections until" in text(anybody, "1/result.txt")
    assert made.objections_until is not None


def test_once_it_is_over_the_board_says_so(
    world: Any, anybody: Client, monkeypatch: pytest.MonkeyPatch
) -> None:
    world.match.objection_min = 30
    world.match.save()
    publish(world)
    later = timezone.now() + dt.timedelta(minutes=40)
    monkeypatch.setattr("web.board.objection_time.timezone.now", lambda: later)
    assert "The time for objections was over at" in text(anybody, "")


def test_a_bulletin_is_compared_with_any_earlier_one(world: Any, anybody: Client) -> None:
    fact = weigh(world, "1", 4250)
    publish(world)
    fact = weigh(world, "1", 5240, supersedes=fact.pk)
    publish(world, reason="The figures were swapped.")
    weigh(world, "1", 5340, supersedes=fact.pk)
    publish(world, reason="One figure more.")
    before = text(anybody, "3/")
    assert "<del>5.240 kg</del>" in before and "<del>4.250 kg</del>" not in before
    first = text(anybody, "3/?since=1")
    assert "What changed since bulletin 1" in first
    assert "<del>4.250 kg</del>" in first and "<ins>5.340 kg</ins>" in first
    for wrong in ("3", "9", "x", "-1", "²"):
        assert "What changed since bulletin 2" in text(anybody, f"3/?since={wrong}")


def test_the_page_names_its_picture_and_says_what_it_is_beside_a_link(
    world: Any, anybody: Client
) -> None:
    publish(world)
    page = text(anybody, "")
    assert 'property="og:title" content="June Open · Otterbeck Piscatorials"' in page
    assert f'property="og:image" content="http://localhost{AT}1/card.svg"' in page


def test_two_hundred_pegs_take_as_many_queries_as_four(db: None, anybody: Client) -> None:
    world = big_match_make()
    publish(world)
    with CaptureQueriesContext(connection) as caught:
        page = text(anybody, "")
    assert len(caught) <= 5
    assert "Angler 200" in page


# As the first form was published, before it told what counts, fish, or a time for objections.
FIRST_FORM: dict[str, Any] = {
    "form": 1,
    "match": {
        "name": "June Open",
        "date": "2026-06-20",
        "club": "Otterbeck Piscatorials",
        "venue": "Tolling Meadow",
        "water": "Wend",
        "start_at": "2026-06-20T09:00:00+00:00",
        "end_at": "2026-06-20T14:00:00+00:00",
        "timezone": "Europe/London",
    },
    "confirmed": False,
    "weight_unit": "g",
    "scheme": "international",
    "team_tie_breaks": ["weight", "best_place", "best_weight"],
    "sections": [
        {
            "label": "A",
            "entries": [
                {
                    "place": "1",
                    "points": "1",
                    "angler": "Maud Ferris",
                    "team": "Otterbeck Alders",
                    "peg": "1",
                    "nets": [4250],
                    "weight": 4250,
                    "status": "entered",
                }
            ],
        }
    ],
    "teams": [
        {
            "rank": 1,
            "team": "Otterbeck Alders",
            "points": "1",
            "weight": 4250,
            "counted": 1,
            "members": 1,
        }
    ],
    "individuals": [
        {
            "rank": 1,
            "angler": "Maud Ferris",
            "team": "Otterbeck Alders",
            "section": "A",
            "peg": "1",
            "points": "1",
            "weight": 4250,
        }
    ],
    "biggest": {
        "angler": "Maud Ferris",
        "team": "Otterbeck Alders",
        "peg": "1",
        "weight": 4250,
    },
    "pegs": [{"peg": "1", "section": "A"}],
    "to_weigh": 0,
    "disagreements": 0,
    "draw": None,
    "number": 1,
    "reason": "",
    "before": None,
    "changes": [],
}


def test_a_bulletin_stored_in_the_first_form_is_still_read_shared_and_followed(
    world: Any, anybody: Client
) -> None:
    from matches.reckon.canonical import canonical_digest

    old = Bulletin.objects.create(
        match=world.match,
        number=1,
        body=FIRST_FORM,
        digest=canonical_digest(FIRST_FORM),
        published_by=world.secretary,
    )
    for address in ("", "1/", *(f"1/{file}" for file in FILES)):
        assert "Maud Ferris" in text(anybody, address)
    assert anybody.get(f"{AT}1/result.json")["ETag"] == f'"{old.digest}"'
    weigh(world, "1", 4250)
    follows = publish(world, reason="All four are drawn now.")
    assert follows.body["before"] == old.digest
    assert "What changed since bulletin 1" in text(anybody, "")
