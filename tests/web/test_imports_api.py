"""Files sent by a program: in parts or in base64, looked at and imported as on the desk."""

from __future__ import annotations

import base64
import json
from typing import Any

import pytest
from django.test import Client

from matches.models import Angler
from tests.clients import signed_in
from tests.sheets import file_of

IMPORTS = "/api/v1/clubs/otterbeck/imports"
ROSTER = "Who,Boat\nAda,Otterbeck Alders\n"
JSON = "application/json"


@pytest.fixture
def program(world: Any) -> Client:
    return signed_in(world.secretary)


def post(client: Client, raw: str | bytes = ROSTER, **more: Any) -> Any:
    return client.post(IMPORTS, {"kind": "anglers", "file": file_of(raw), **more})


def test_a_file_is_looked_at_and_then_imported(world: Any, program: Client) -> None:
    columns = json.dumps({"name": "Who", "team": "Boat"})
    look = post(program, columns=columns).json()
    assert look["imported"] is False and look["counts"]["new"] == 1
    assert look["rows"][0]["differs"][1] == {
        "column": "Team", "before": "", "after": "Otterbeck Alders",
    }  # fmt: skip
    assert not Angler.objects.filter(name="Ada").exists()
    seen = look["digest"]
    assert post(program, columns=columns, do="import", seen=seen).json()["imported"] is True
    assert Angler.objects.get(name="Ada").team == world.alders
    assert post(program, columns=columns, do="import", seen=seen).status_code == 409
    again = post(program, do="import").json()  # the columns are remembered
    assert (again["counts"]["same"], again["columns"]) == (1, {"name": "Who", "team": "Boat"})


def test_a_file_in_base64_says_the_same(world: Any, program: Client) -> None:
    body = {"kind": "anglers", "file": base64.b64encode(ROSTER.encode()).decode()}
    one = program.post(IMPORTS, json.dumps(body), content_type=JSON)
    assert one.json() == post(program).json()


@pytest.mark.parametrize(
    ("more", "pointer", "words"),
    [
        ({"kind": "boats"}, "/kind", "Use one of"),
        ({"kind": ""}, "/kind", "Use one of"),
        ({"do": "burn"}, "/do", "look or import"),
        ({"columns": "{"}, "/columns", "not JSON"),
        ({"columns": "[]"}, "/columns", "Write an object"),
        ({"columns": '{"nmae": "Who"}'}, "/columns", "Columns are"),
        ({"columns": '{"name": "Z"}'}, "/columns", "heads of the file"),
        ({"columns": '{"team": "Boat"}'}, "", "Say which column is"),
        ({"file": "no file"}, "/file", "base64"),
        ({"file": file_of("Who\n" + "a" * 121)}, "/2/Who", "at most 120"),
        ({"file": file_of(b"%PDF")}, "", "PDF"),
    ],
)
def test_what_is_wrong_is_pointed_at_and_nothing_is_written(
    world: Any, program: Client, more: dict[str, Any], pointer: str, words: str
) -> None:
    before = Angler.objects.count()
    answer = post(program, **{"do": "import", **more})
    assert answer.status_code == 400, answer.content
    error = answer.json()["errors"][0]
    assert error["pointer"] == pointer and words in error["message"]
    assert Angler.objects.count() == before


def test_a_captain_sends_prices_and_nothing_else(world: Any) -> None:
    captain = signed_in(world.captain)
    assert post(captain).status_code == 403
    prices = {"kind": "prices", "about": "hut", "file": file_of("Bait,Pack,Price\nHemp,2 pint,3\n")}
    assert captain.post(IMPORTS, prices).json()["counts"]["new"] == 1
    for about in ("", "never"):
        prices = {"kind": "prices", "about": about, "file": file_of("a\nb\n")}
        assert captain.post(IMPORTS, prices).status_code == 404
