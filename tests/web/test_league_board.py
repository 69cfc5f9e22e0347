"""The public pages of leagues: open to everybody, fast, and only what the results show."""

from __future__ import annotations

import csv
import io
import json
from typing import Any

import pytest
from django.db import connection
from django.test import Client
from django.test.utils import CaptureQueriesContext

from matches.reckon.canonical import canonical_digest
from tests.league_season import correct, league_of, publish, season, weigh

pytestmark = pytest.mark.django_db

AT = "/board/otterbeck/leagues/wend-league/"


@pytest.fixture
def anybody() -> Client:
    return Client(HTTP_HOST="localhost")


def text(response: Any) -> str:
    assert response.status_code == 200, response.status_code
    return str(response.content.decode())


def test_a_league_is_found_from_the_club_and_leads_to_each_season(
    world: Any, anybody: Client
) -> None:
    season(world)
    assert f"{AT}table/" in text(anybody.get("/board/otterbeck/"))
    page = text(anybody.get(f"{AT}table/"))
    maud = world.entries["Maud"].angler
    assert f"{AT}season/{maud.pk}/" in page
    assert "Maud Ferris" in text(anybody.get(f"{AT}season/{maud.pk}/"))


def test_nothing_of_a_league_is_public_before_a_round_is_published(
    world: Any, anybody: Client
) -> None:
    league_of(world, world.match)
    assert anybody.get(f"{AT}table/").status_code == 404
    weigh(world, world.match, {"Maud": 4000})
    publish(world, world.match)
    assert "still" not in text(anybody.get(f"{AT}table/"))
    assert "provisional" in text(anybody.get(f"{AT}table/"))


def test_an_old_table_stays_readable_and_says_that_there_is_a_later_one(
    world: Any, anybody: Client
) -> None:
    _, rounds = season(world)
    correct(world, rounds[1], "Maud", 2000)
    publish(world, rounds[1], confirmed=True, reason="The sheet was read wrongly.")
    old = text(anybody.get(f"{AT}table/2/"))
    assert "This is table 2; a later one replaced it." in old
    new = text(anybody.get(f"{AT}table/"))
    assert "What changed since table 2" in new
    assert "Bulletin 2 of July Open: The sheet was read wrongly." in new
    assert "/board/otterbeck/july-open/2/" in new
    assert anybody.get(f"{AT}table/9/").status_code == 404


def test_what_was_dropped_is_said_with_its_reason(world: Any, anybody: Client) -> None:
    season(world, drop_worst=1)
    page = text(anybody.get(f"{AT}table/"))
    assert "Maud Ferris, round 2: the worst by points" in page
    assert "The worst round is dropped." in page
    assert "(2)" in page


def test_a_junior_without_consent_has_no_page_and_no_name(world: Any, anybody: Client) -> None:
    _, rounds = season(world)
    angler = world.entries["Odette"].angler
    angler.junior = True
    angler.save()
    at = f"{AT}season/{angler.pk}/"
    assert anybody.get(at).status_code == 404
    assert at not in text(anybody.get(f"{AT}table/"))
    weigh(world, rounds[2], {"Maud": 5, "Perrin": 4, "Wilmot": 3, "Odette": 9})
    publish(world, rounds[2])
    for kind in ("", "3/table.csv", "3/table.json"):
        page = text(anybody.get(f"{AT}table/{kind}"))
        assert "O. M." in page
        assert "Odette" not in page
    angler.guardian_consents = True
    angler.save()
    assert anybody.get(at).status_code == 200


def test_a_season_of_somebody_else_or_of_nobody_is_not_found(world: Any, anybody: Client) -> None:
    season(world)
    assert anybody.get(f"{AT}season/99999/").status_code == 404
    assert anybody.get("/board/larkmill/leagues/wend-league/table/").status_code == 404


def test_a_season_says_rank_and_total_after_each_round(world: Any, anybody: Client) -> None:
    season(world)
    maud = world.entries["Maud"].angler
    response = anybody.get(f"{AT}season/{maud.pk}/")
    lines = response.context["lines"]
    assert [(x["after"].rank, x["after"].total) for x in lines] == [(1, "1"), (2, "3")]
    charts = {c["title"]: c for c in response.context["charts"]}
    assert charts["Weight in each round"]["said"] == "round 1: 4.000 kg; round 2: 1.000 kg"
    assert charts["Total after each round"]["said"] == "round 1: 1; round 2: 3"
    places = charts["Place in each round"]["chart"].marks
    assert places[0].top < places[1].top, "the better place stands higher"


def test_the_csv_has_a_line_an_entrant_and_runs_no_formula(world: Any, anybody: Client) -> None:
    angler = world.entries["Maud"].angler
    angler.name = "=Maud"
    angler.save()
    season(world, drop_worst=1)
    body = text(anybody.get(f"{AT}table/2/table.csv")).removeprefix("\ufeff")
    rows = list(csv.DictReader(io.StringIO(body)))
    assert len(rows) == 4
    maud = next(r for r in rows if r["name"] == "'=Maud")
    assert (maud["total"], maud["round 2"], maud["round 2 counts"]) == ("1", "2", "no")
    assert maud["weight"] == "4.000 kg"


def test_the_json_is_the_body_as_its_digest_was_taken(world: Any, anybody: Client) -> None:
    season(world)
    got = json.loads(text(anybody.get(f"{AT}table/2/table.json")))
    assert canonical_digest(got["body"]) == got["digest"]


def test_pages_take_few_queries_however_many_rounds(world: Any, anybody: Client) -> None:
    _, rounds = season(world)
    maud = world.entries["Maud"].angler
    weigh(world, rounds[2], {"Maud": 5, "Perrin": 4, "Wilmot": 3, "Odette": 9})
    publish(world, rounds[2])
    for at in (f"{AT}table/", f"{AT}season/{maud.pk}/", "/board/otterbeck/"):
        with CaptureQueriesContext(connection) as asked:
            text(anybody.get(at))
        assert len(asked) <= 6, at


def test_teams_have_tables_and_seasons_too(world: Any, anybody: Client) -> None:
    season(world)
    league_of(world, world.match, of="teams")
    page = text(anybody.get("/board/otterbeck/leagues/wend-league-2/table/"))
    assert f"/board/otterbeck/leagues/wend-league-2/season/{world.alders.pk}/" in page
    at = f"/board/otterbeck/leagues/wend-league-2/season/{world.alders.pk}/"
    assert "Otterbeck Alders" in text(anybody.get(at))


def test_weights_in_two_units_are_each_said_in_their_own(world: Any, anybody: Client) -> None:
    from tests.league_season import match_again

    pounds = match_again(world, name="Old Scales", days=5, unit="dr")
    weigh(world, world.match, {"Maud": 4000, "Perrin": 3000, "Wilmot": 2000, "Odette": 1000})
    publish(world, world.match)
    weigh(world, pounds, {"Maud": 256, "Perrin": 512, "Wilmot": 16, "Odette": 0})
    publish(world, pounds)
    league_of(world, world.match, pounds)
    assert "4.000 kg and 1 lb 0 oz 0 dr" in text(anybody.get(f"{AT}table/"))
