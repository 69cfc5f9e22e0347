"""What somebody tries at the match desk who means no good, and what a tired secretary types."""

from __future__ import annotations

import uuid
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from typing import Any

import pytest
from django.db import connection, transaction
from django.test import Client

from matches.models import (
    AuditEntry,
    Fact,
    League,
    Match,
    Peg,
    PegLeftOut,
    ScoredBy,
)
from matches.writes.facts import fact_log_at_desk
from matches.writes.leagues import league_make
from matches.writes.match_content import terms_typed
from matches.writes.match_scoring import scoring_typed

pytestmark = pytest.mark.django_db

NUL = "a\x00b"
#: Digits whose first nine are a small number.
HUGE = "000000001" + "9" * 5_000
#: What a field may be sent that no form of ours sends.
NASTY = [
    NUL,
    "9" * 5_000,
    HUGE,
    "-1",
    "1e999",
    "NaN",
    "²",
    "\x1b[2J\x0b\x85\u2028",
    "x" * 20_000,
    "0001-01-01",
    "9999-12-31T23:59",
    "24:00",
]


@contextmanager
def no_nul_asked() -> Iterator[None]:
    """No statement carries a character that PostgreSQL refuses."""

    def look(execute: Callable[..., Any], sql: str, params: Any, many: bool, context: Any) -> Any:
        assert "\\x00" not in repr(params), sql
        assert "\\u0000" not in repr(params), sql
        return execute(sql, params, many, context)

    with connection.execute_wrapper(look):
        yield


def signed_in(person: Any) -> Client:
    client = Client()
    client.force_login(person)
    return client


def at(world: Any, page: str = "") -> str:
    return f"/desk/matches/{world.match.pk}/{page}"


VENUES = "/desk/venues/otterbeck/"
LEAGUES = "/desk/clubs/otterbeck/leagues/"
PEG = {
    "do": "save", "number": "12", "side": "left", "along_m": "5", "depth_cm": "100",
    "latitude": "52.1", "longitude": "1.2", "accessible": "on", "power_lines": "",
    "steep_bank": "", "notes": "n",
}  # fmt: skip
VENUE = {"name": "Long Reach", "water": "Wend", "timezone": "Europe/London", "cautions": "c"}
RULES = {
    "name": "Wend League", "of": "anglers", "adds": "points_low", "counting": "drop",
    "drop_worst": "1", "best_of": "", "minimum_rounds": "2", "missed": "fixed",
    "missed_points": "20", "tie_1": "weight", "tie_2": "", "tie_3": "last_round", "reason": "r",
}  # fmt: skip


def forms(world: Any) -> dict[str, tuple[str, dict[str, str]]]:
    """Each form of these pages as it is sent: its address and its fields."""
    maud = world.entries["Maud"].pk
    peg = world.pegs["6"].peg_id
    venue = f"{VENUES}{world.venue.pk}/"
    fee = {"key": str(uuid.uuid4()), "amount": "5.00", "note": "cash"}
    entrant = at(world, f"entrants/{maud}/")
    new = {"name": "Linus Tern", "team": str(world.alders.pk), "junior": "yes", "consent": "yes"}
    weight = {
        "peg": "1", "net": "1", "kg": "4", "g": "250", "witness": "", "witness_of": "angler",
        "corrects": "", "sure": "",
    }  # fmt: skip
    return {
        "venue add": (VENUES, VENUE),
        "venue": (venue, VENUE),
        "peg add": (f"{venue}pegs/", {**PEG, "behind": str(peg)}),
        "peg": (f"{venue}pegs/{peg}/", PEG),
        "file kept": (f"{venue}file/", {"do": "import", "list": "a:b:c", "retire": "all"}),
        "sections": (
            at(world, "pegs/"),
            {"do": "up:0", "label-0": "A", "pegs-0": "1-3", "label-1": "B", "pegs-1": "4-6",
             "to": "3", "again": "yes"},
        ),
        "sections save": (
            at(world, "pegs/"),
            {"do": "save", "label-0": "A", "pegs-0": "1-2", "label-1": "B", "pegs-1": "3-6",
             "again": "yes"},
        ),
        "leave out": (
            at(world, "pegs/"), {"do": "leave-out", "pegs": "6", "reason": "r", "again": "yes"},
        ),
        "bring back": (at(world, "pegs/"), {"do": "back", "peg": "6"}),
        "match new": (
            "/desk/clubs/otterbeck/matches/new/",
            {**terms_typed(world.match), "like": str(world.match.pk)},
        ),
        "settings": (at(world, "settings/"), {"do": "save", **terms_typed(world.match)}),
        "call off": (at(world, "settings/"), {"do": "call-off", "reason": "flood"}),
        "scoring": (at(world, "scoring/"), {"do": "save", **scoring_typed(world.match)}),
        "enter": (
            at(world, "entries/"),
            {"do": "enter", "angler": "1", "team": str(world.alders.pk), "for": "team",
             "as": "entered"},
        ),
        "book": (at(world, "entries/"), {"do": "book-enter", **new}),
        "withdraw": (entrant, {"do": "withdraw", "substitute": "", "reason": "ill"}),
        "access": (entrant, {"do": "access", "needs": "yes"}),
        "take": (entrant, {"do": "take", **fee}),
        "give back": (entrant, {"do": "give-back", **fee}),
        "weigh": (at(world, "weigh/"), weight),
        "settle": (at(world, "weigh/settle/"), {"disagreement": "1", "stands": "x"}),
        "league new": ("/desk/clubs/otterbeck/new-league/", RULES),
        "league rules": (f"{LEAGUES}first-league/rules/", RULES),
        "league rounds": (
            f"{LEAGUES}first-league/rounds/", {f"round-{world.match.pk}": "1", "reason": "r"},
        ),
    }  # fmt: skip


def league(world: Any) -> League:
    return league_make(
        world.secretary, club=world.club, name="First League", of="anglers", rules={}
    )


def weigh(world: Any, peg: str, weight: int, **more: Any) -> Fact:
    return fact_log_at_desk(
        world.weigher,
        match=world.match,
        kind="weigh_in",
        peg=peg,
        body={"net": 1, "weight": weight, "unit": "g", "witness": None, **more},
    )


def fish_scored(world: Any) -> None:
    Match.objects.filter(pk=world.match.pk).update(
        scored_by=ScoredBy.FISH, species=[{"name": "Roach", "points": 1}]
    )


NAMES = [
    "venue add", "venue", "peg add", "peg", "file kept", "sections", "sections save", "leave out",
    "bring back", "match new", "settings", "call off", "scoring", "enter", "book", "withdraw",
    "access", "take", "give back", "weigh", "settle", "league new", "league rules",
    "league rounds",
]  # fmt: skip


# Input that no form of ours sends --------------------------------------------------------------


@pytest.mark.parametrize("name", NAMES)
def test_no_field_of_a_form_brings_the_desk_down(world: Any, name: str) -> None:
    league(world)
    client = signed_in(world.secretary)
    address, typed = forms(world)[name]
    for field, usual in typed.items():
        left = {key: text for key, text in typed.items() if key != field}
        for sent in (left, *({**typed, field: one} for one in ([usual, usual], *NASTY))):
            with no_nul_asked():
                point = transaction.savepoint()
                assert client.post(address, sent).status_code in (200, 302, 400, 404), field
                transaction.savepoint_rollback(point)


def test_a_peg_behind_a_number_no_database_holds_comes_last(world: Any) -> None:
    address = f"{VENUES}{world.venue.pk}/pegs/"
    sent = {**PEG, "accessible": "", "behind": HUGE}
    assert signed_in(world.secretary).post(address, sent).status_code == 302
    assert Peg.objects.get(number="12").position == 7


@pytest.mark.parametrize("typed", [HUGE, "00000000019", "10001", "1.5", "-1"])
def test_a_count_of_fish_is_read_whole_or_refused(world: Any, typed: str) -> None:
    fish_scored(world)
    sent = {"peg": "1", "net": "1", "kg": "1", "g": "0", "fish-1": typed}
    answer = signed_in(world.secretary).post(at(world, "weigh/"), sent)
    assert answer.status_code == 400
    assert "count 0 to 10,000 whole fish" in answer.content.decode()
    assert not Fact.objects.exists()


@pytest.mark.parametrize("field", ["drop_worst", "minimum_rounds"])
@pytest.mark.parametrize("typed", [HUGE, "00000000019", "101", "0"])
def test_a_number_of_rounds_is_read_whole_or_refused(world: Any, field: str, typed: str) -> None:
    sent = {**RULES, field: typed}
    answer = signed_in(world.secretary).post("/desk/clubs/otterbeck/new-league/", sent)
    assert "Write a whole number from 1 to 100." in answer.content.decode()
    assert not League.objects.exists()


@pytest.mark.parametrize("typed", [HUGE, "00000000019", "101"])
def test_a_rounds_number_is_read_whole_or_refused(world: Any, typed: str) -> None:
    found = league(world)
    sent = {f"round-{world.match.pk}": typed}
    answer = signed_in(world.secretary).post(f"{LEAGUES}first-league/rounds/", sent)
    assert "number, 1 to 100, or nothing" in answer.content.decode()
    assert not found.rounds.exists()


def test_bringing_back_a_peg_no_database_holds_changes_nothing(world: Any) -> None:
    PegLeftOut.objects.create(match=world.match, peg=world.pegs["6"].peg, reason="flooded")
    before = AuditEntry.objects.count()
    with no_nul_asked():
        answer = signed_in(world.secretary).post(at(world, "pegs/"), {"do": "back", "peg": NUL})
    assert answer.status_code == 302
    assert PegLeftOut.objects.count() == 1 and AuditEntry.objects.count() == before
