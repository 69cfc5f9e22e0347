"""What is typed holds nothing that no screen shows: no control, nothing that turns text round."""

from __future__ import annotations

import unicodedata
from collections.abc import Callable
from typing import Any

import pytest

from bait.writes.plan_content import plan_content_parse
from bait.writes.shop_content import bait_content_parse
from matches.models import League
from matches.reckon.errors import BadInput
from matches.reckon.peg_fields import COLUMNS, peg_read
from matches.reckon.reading import is_storable
from matches.writes.anglers import angler_add
from matches.writes.leagues import league_make
from matches.writes.pool_terms import pool_terms_parse
from matches.writes.venues import venue_parse

#: UAX #9, 2.1 to 2.5: embeddings, overrides, isolates and their ends.
TURNS = "\u202a\u202b\u202c\u202d\u202e\u2066\u2067\u2068\u2069"
VENUE = {"name": "Long Reach", "water": "Wend", "timezone": "Europe/London", "cautions": ""}


def test_every_control_but_tab_and_line_ends_is_refused_and_so_is_what_turns_text_round() -> None:
    controls = {chr(n) for n in range(0x110000) if unicodedata.category(chr(n)) == "Cc"}
    refused = {chr(n) for n in range(0x110000) if not is_storable(chr(n))}
    halves = {chr(n) for n in range(0xD800, 0xE000)}
    assert refused == (controls - set("\t\n\r")) | set(TURNS) | halves


@pytest.mark.parametrize("text", ["Wend\u00ad", "\u05d0\u05d1 Wend", "a\u200fb", "Æsk 😀", "a\nb"])
def test_what_languages_are_written_with_is_kept(text: str) -> None:
    assert is_storable(text)


def _venue(world: Any, name: str) -> None:
    venue_parse({**VENUE, "name": name})


def _league(world: Any, name: str) -> None:
    league_make(world.secretary, club=world.club, name=name, of="anglers", rules={})


def _angler(world: Any, name: str) -> None:
    angler_add(world.secretary, club=world.club, name=name)


def _pool(world: Any, name: str) -> None:
    pool_terms_parse({"name": name})


def _bait(world: Any, name: str) -> None:
    bait_content_parse({"name": name, "kind": "animal", "unit": "pint"})


def _peg(world: Any, notes: str) -> None:
    peg_read({**dict.fromkeys(COLUMNS, ""), "number": "1", "side": "left", "notes": notes})


def _plan(world: Any, note: str) -> None:
    plan_content_parse({"version": 0, "stages": [], "spare_percent": 0, "note": note})


ROADS = (_venue, _league, _angler, _pool, _bait, _peg, _plan)


@pytest.mark.django_db
@pytest.mark.parametrize("road", ROADS)
@pytest.mark.parametrize("char", ["\x1b", "\x7f", "\u202e", "\u2066"])
def test_each_road_in_refuses_them_at_the_field(
    world: Any, road: Callable[[Any, str], None], char: str
) -> None:
    with pytest.raises(BadInput) as caught:
        road(world, f"Wend{char}Reach")
    assert {"/name", "/notes", "/note"} & {fault.pointer for fault in caught.value.faults}


@pytest.mark.django_db
def test_a_name_is_one_line(world: Any) -> None:
    rules = {"missed": "worst_plus_one"}
    league_make(world.secretary, club=world.club, name="Wend\n League", of="anglers", rules=rules)
    assert League.objects.get().name == "Wend League"
    assert venue_parse({**VENUE, "name": "Long\r\nReach"}).name == "Long Reach"
