"""The board: open to everybody, only what was published, and nothing a spreadsheet runs."""

from __future__ import annotations

import csv
import hashlib
import io
import json
from typing import Any

import pytest
from django.db import connection
from django.test import Client
from django.test.utils import CaptureQueriesContext

from matches.models import Bulletin
from matches.reckon.canonical import canonical_digest
from matches.writes.draws import draw_commit, draw_hold
from tests.fished import publish, weigh
from web.csv_files import cell_safe

pytestmark = pytest.mark.django_db

AT = "/board/otterbeck/june-open/"


@pytest.fixture
def anybody() -> Client:
    return Client(HTTP_HOST="localhost")


def test_nothing_is_public_before_it_is_published(world: Any, anybody: Client) -> None:
    weigh(world, "1", 4250)
    assert anybody.get(AT).status_code == 404
    assert anybody.get("/board/otterbeck/").status_code == 404
    page = anybody.get("/board/")
    assert page.status_code == 200
    assert "Otterbeck" not in page.content.decode()


def test_a_result_can_be_found_from_the_board_down(world: Any, anybody: Client) -> None:
    weigh(world, "1", 4250)
    publish(world)
    assert "/board/otterbeck/" in anybody.get("/board/").content.decode()
    assert AT in anybody.get("/board/otterbeck/").content.decode()
    page = anybody.get(AT).content.decode()
    assert "4.250 kg" in page
    assert "Maud Ferris" in page
    assert "3 anglers are still to weigh." in page


def test_the_board_shows_what_was_published_not_what_stands_now(
    world: Any, anybody: Client
) -> None:
    fact = weigh(world, "1", 4250)
    bulletin = publish(world)
    weigh(world, "1", 9990, supersedes=fact.pk)
    page = anybody.get(AT).content.decode()
    assert "4.250 kg" in page
    assert "9.990 kg" not in page
    assert bulletin.digest in page


def test_a_correction_says_why_and_shows_both_values_and_the_old_one_points_to_it(
    world: Any, anybody: Client
) -> None:
    fact = weigh(world, "1", 4250)
    publish(world)
    weigh(world, "1", 5240, supersedes=fact.pk)
    publish(world, reason="The figures were swapped.")
    latest = anybody.get(AT).content.decode()
    assert "The figures were swapped." in latest
    assert "<del>4.250 kg</del>" in latest
    assert "<ins>5.240 kg</ins>" in latest
    old = anybody.get(AT + "1/").content.decode()
    assert "This is bulletin 1; a later one replaced it." in old
    assert "4.250 kg" in old
    assert "5.240 kg" not in old


def test_a_bulletin_nobody_published_is_not_found(world: Any, anybody: Client) -> None:
    publish(world)
    for address in ["2/", "0/", "2/result.csv", "2/result.json"]:
        assert anybody.get(AT + address).status_code == 404


def test_another_clubs_address_does_not_lead_to_the_match(world: Any, anybody: Client) -> None:
    publish(world)
    assert anybody.get("/board/larkmill/june-open/").status_code == 404


def test_the_json_is_the_body_byte_for_byte_as_its_digest_was_taken(
    world: Any, anybody: Client
) -> None:
    weigh(world, "1", 4250)
    bulletin = publish(world)
    given = anybody.get(AT + "1/result.json")
    assert hashlib.sha256(given.content).hexdigest() == bulletin.digest
    assert given["ETag"] == f'"{bulletin.digest}"'
    assert canonical_digest(json.loads(given.content)) == bulletin.digest


def test_the_table_has_a_line_an_angler(world: Any, anybody: Client) -> None:
    weigh(world, "1", 4250)
    publish(world)
    answer = anybody.get(AT + "1/result.csv")
    assert answer["Content-Type"] == "text/csv; charset=utf-8"
    rows = list(csv.reader(io.StringIO(answer.content.decode("utf-8-sig"))))
    assert len(rows) == 5
    assert rows[1] == [
        "A",
        "1",
        "1",
        "1",
        "Maud Ferris",
        "Otterbeck Alders",
        "4250",
        "g",
        "4.250 kg",
        "entered",
    ]


@pytest.mark.parametrize(
    "name",
    ["=1+1", "+44", "-2", "@SUM(A1)", "\t=1", "\r=1", "  =1", "＝1", '=HYPERLINK("x")'],
)
def test_no_cell_of_the_table_is_taken_for_a_formula(
    world: Any, anybody: Client, name: str
) -> None:
    angler = world.entries["Maud"].angler
    angler.name = name
    angler.save()
    publish(world)
    text = anybody.get(AT + "1/result.csv").content.decode("utf-8-sig")
    cells = [cell for row in csv.reader(io.StringIO(text, newline="")) for cell in row]
    assert f"'{name}" in cells
    assert name not in cells


def test_an_ordinary_cell_stays_as_it_is() -> None:
    assert [cell_safe(v) for v in ["Maud Ferris", 4250, None, "5.5"]] == [
        "Maud Ferris",
        "4250",
        "",
        "5.5",
    ]


def test_a_name_that_looks_like_markup_is_shown_as_text(world: Any, anybody: Client) -> None:
    angler = world.entries["Maud"].angler
    angler.name = "<script>alert(1)</script>"
    angler.save()
    weigh(world, "1", 4250)
    publish(world)
    page = anybody.get(AT).content.decode()
    assert "<script>alert" not in page
    assert "&lt;script&gt;alert" in page


def test_nothing_of_who_weighed_or_saw_is_public(world: Any, anybody: Client) -> None:
    weigh(world, "1", 4250, witness="Bryony Sallow")
    publish(world)
    for address in ["", "1/", "1/result.csv", "1/result.json"]:
        body = anybody.get(AT + address).content.decode()
        assert "Tamsin" not in body and "Sallow" not in body
        assert "witness" not in body


def test_a_junior_is_public_by_initials_everywhere(world: Any, anybody: Client) -> None:
    angler = world.entries["Odette"].angler
    angler.junior = True
    angler.save()
    draw_commit(world.secretary, match=world.match, mode="open")
    draw_hold(world.secretary, match=world.match)
    publish(world)
    for address in ["", "1/", "1/result.csv", "1/result.json", "draw/"]:
        body = anybody.get(AT + address).content.decode()
        assert "Odette" not in body
        assert "O. M." in body


def test_the_draw_page_keeps_the_seed_secret_until_it_is_held(world: Any, anybody: Client) -> None:
    draw = draw_commit(world.secretary, match=world.match, mode="open")
    page = anybody.get(AT + "draw/").content.decode()
    assert draw.commitment in page
    assert draw.seed not in page
    assert anybody.get(AT + "draw/1.json").status_code == 404
    assert "No result has been published yet." in anybody.get(AT).content.decode()


def test_a_held_draw_can_be_checked_with_the_open_calculator(world: Any, anybody: Client) -> None:
    draw_commit(world.secretary, match=world.match, mode="team")
    draw = draw_hold(world.secretary, match=world.match)
    asked = anybody.get(AT + "draw/1.json").json()
    answer = anybody.post("/api/v1/reckon/draw", asked, content_type="application/json")
    assert answer.status_code == 200
    assert answer.json()["commitment"] == draw.commitment
    sits = {
        str(p.entry_id): p.section_peg.peg.number
        for p in world.match.drawn_pegs.select_related("section_peg__peg")
    }
    assert {a["angler"]: a["peg"] for a in answer.json()["assignments"]} == sits
    assert "held, and it checks" in anybody.get(AT + "draw/").content.decode()


def test_a_peg_changed_behind_the_draw_is_told(world: Any, anybody: Client) -> None:
    draw_commit(world.secretary, match=world.match, mode="open")
    draw_hold(world.secretary, match=world.match)
    sits = world.match.drawn_pegs.first()
    taken = set(world.match.drawn_pegs.values_list("section_peg_id", flat=True))
    free = next(p for p in world.pegs.values() if p.pk not in taken)
    sits.section_peg = free
    sits.save()
    assert "held, but it does not check" in anybody.get(AT + "draw/").content.decode()


def test_the_board_answers_only_reads(world: Any, anybody: Client) -> None:
    publish(world)
    assert anybody.post(AT).status_code == 405


def test_a_result_page_asks_four_queries_however_many_bulletins_there_are(
    world: Any, anybody: Client
) -> None:
    fact = weigh(world, "1", 1000)
    publish(world)
    with CaptureQueriesContext(connection) as one:
        anybody.get(AT)
    for n in range(2, 8):
        fact = weigh(world, "1", 1000 * n, supersedes=fact.pk)
        publish(world, reason=f"Weighed again, time {n}.")
    with CaptureQueriesContext(connection) as many:
        anybody.get(AT)
    assert (len(one), len(many)) == (4, 4)


def test_a_club_page_asks_as_many_queries_for_one_result_as_for_ten(
    world: Any, anybody: Client
) -> None:
    publish(world)
    with CaptureQueriesContext(connection) as one:
        anybody.get("/board/otterbeck/")
    first = Bulletin.objects.get()
    for n in range(10):
        world.match.pk, world.match.slug = None, f"m-{n}"
        world.match.save()
        Bulletin.objects.create(
            match=world.match,
            number=1,
            body=first.body,
            digest=first.digest,
            published_by=world.secretary,
        )
    with CaptureQueriesContext(connection) as many:
        anybody.get("/board/otterbeck/")
    assert (len(one), len(many)) == (3, 3)
