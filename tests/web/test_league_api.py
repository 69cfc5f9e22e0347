"""Leagues in the API: for members of the club, as the board shows them."""

from __future__ import annotations

from typing import Any

import pytest
from django.test import Client

from tests.clients import signed_in
from tests.league_season import league_of, season

pytestmark = pytest.mark.django_db

LIST = "/api/v1/clubs/otterbeck/leagues"
TABLE = f"{LIST}/wend-league/tables/2"


@pytest.mark.parametrize("who", ["secretary", "captain", "member", "weigher"])
def test_members_read_their_clubs_leagues_and_tables(world: Any, who: str) -> None:
    league, _ = season(world)
    league_of(world)
    client = signed_in(getattr(world, who))
    rows = client.get(LIST).json()["leagues"]
    assert [(r["league"], r["rounds"], r["table"]) for r in rows] == [
        ("wend-league", 3, 2),
        ("wend-league-2", 0, None),
    ]
    assert rows[0]["url"] == "/board/otterbeck/leagues/wend-league/table/"
    got = client.get(TABLE).json()
    table = league.tables.get(number=2)
    assert (got["digest"], got["body"]) == (table.digest, table.body)
    assert client.get(f"{LIST}/wend-league/tables/3").status_code == 404


def test_for_an_outsider_there_is_none_and_nobody_reads_without_signing_in(world: Any) -> None:
    season(world)
    for at in (LIST, TABLE):
        assert signed_in(world.outsider).get(at).status_code == 404
        assert Client(HTTP_HOST="localhost").get(at).status_code in (401, 403)
