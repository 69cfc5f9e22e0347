"""When the database itself refuses one fact of a batch, the others are stored all the same."""

from __future__ import annotations

import uuid
from collections.abc import Iterator
from typing import Any

import pytest
from django.db import connection

from matches.models import Fact
from matches.writes.facts import facts_store, match_body_checks

SQLITE = (
    "CREATE TRIGGER refuse_66 BEFORE INSERT ON matches_fact WHEN NEW.peg = '66'"
    " BEGIN SELECT RAISE(ABORT, 'no such fact'); END"
)
POSTGRES = (
    "CREATE FUNCTION refuse_66() RETURNS trigger LANGUAGE plpgsql AS $$ BEGIN"
    " IF NEW.peg = '66' THEN RAISE check_violation; END IF; RETURN NEW; END $$;"
    " CREATE TRIGGER refuse_66 BEFORE INSERT ON matches_fact"
    " FOR EACH ROW EXECUTE FUNCTION refuse_66()"
)


@pytest.fixture
def refusing(world: Any) -> Iterator[Any]:
    """A database that takes no fact for peg 66: a rule that the checks before it don't know."""
    with connection.cursor() as cursor:
        cursor.execute(SQLITE if connection.vendor == "sqlite" else POSTGRES)
        yield world
        if connection.vendor == "sqlite":
            cursor.execute("DROP TRIGGER refuse_66")
        else:
            cursor.execute("DROP TRIGGER refuse_66 ON matches_fact; DROP FUNCTION refuse_66")


def note(world: Any, n: int, peg: str) -> dict[str, Any]:
    return {
        "id": str(uuid.UUID(int=n)),
        "device": str(uuid.UUID(int=1)),
        "seq": n,
        "kind": "peg_note",
        "match": str(world.match.pk),
        "peg": peg,
        "recorded_at": "2026-06-20T13:05:11.250Z",
        "body": {"note": ""},
    }


@pytest.mark.fault("poison fact")
def test_the_others_are_stored_without_a_hole_in_the_numbers(refusing: Any) -> None:
    facts = [note(refusing, n, peg) for n, peg in enumerate(["1", "66", "2", "66", "3"], 1)]
    outcomes = facts_store(refusing.weigher, facts=facts, body_checks=match_body_checks())
    assert [o.verdict.value for o in outcomes] == [
        "accepted",
        "refused",
        "accepted",
        "refused",
        "accepted",
    ]
    assert [o.cseq for o in outcomes] == [1, None, 2, None, 3]
    assert list(Fact.objects.values_list("peg", "cseq")) == [("1", 1), ("2", 2), ("3", 3)]
    again = facts_store(refusing.weigher, facts=facts[:1], body_checks=match_body_checks())
    refusing.club.refresh_from_db()
    assert (again[0].verdict, refusing.club.fact_counter) == ("duplicate", 3)


def test_what_waits_for_a_refused_fact_waits(refusing: Any) -> None:
    later = note(refusing, 2, "1") | {"supersedes": str(uuid.UUID(int=1))}
    outcomes = facts_store(
        refusing.weigher,
        facts=[note(refusing, 1, "66"), later],
        body_checks=match_body_checks(),
    )
    assert [o.verdict.value for o in outcomes] == ["refused", "waiting"]
