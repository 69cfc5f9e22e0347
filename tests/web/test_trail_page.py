"""The trail as the secretary reads it: who changed what, and the head that proves it."""

from __future__ import annotations

from typing import Any

import pytest
from django.urls import reverse

from matches.models import AuditEntry
from matches.reads.trail import PAGE, chain_head
from matches.writes.audit import audit_record
from tests.clients import signed_in
from tests.matches.test_trail_chain import Unguarded
from web.trail_verbs import KINDS, VERBS

pytestmark = pytest.mark.django_db


@pytest.fixture
def page(world: Any) -> Any:
    client = signed_in(world.secretary)
    at = reverse("desk:trail", args=[world.club.slug])
    return lambda **asked: client.get(at, asked).content.decode()


def record(world: Any, verb: str, *, by: Any = None, subject: str = "June Open") -> AuditEntry:
    return audit_record(
        club=world.club, person=by, verb=verb, subject=subject, detail={"match": 7, "why": "Weed"}
    )


def test_each_row_says_who_changed_what_and_when(world: Any, page: Any) -> None:
    row = record(world, "draw_hold", by=world.secretary)
    said = page()
    assert "Draw held" in said and "Idris Pell" in said and "June Open" in said
    assert "<dt>why</dt><dd>Weed</dd>" in said
    assert "The trail has 1 row." in said and row.digest in said


def test_rows_are_looked_through_by_kind_and_by_person(world: Any, page: Any) -> None:
    record(world, "draw_hold", by=world.secretary)
    record(world, "fee_take", by=world.captain)
    record(world, "fee_take", by=world.secretary, subject="Autumn Open")
    assert "Fee taken" in page() and "Draw held" in page()
    money = page(kind="money")
    assert "Fee taken" in money and "Draw held" not in money
    both = page(kind="money", who=str(world.captain.pk))
    assert "June Open" in both and "Autumn Open" not in both
    assert "No row is of that kind and person." in page(kind="leagues")


def test_a_long_trail_is_read_page_by_page(world: Any, page: Any) -> None:
    for n in range(PAGE + 2):
        record(world, "match_change", subject=f"change {n:03}")
    first = page()
    assert f"change {PAGE + 1:03}" in first and "change 001" not in first
    assert f"before={3}" in first
    older = page(before="3")
    assert "change 001" in older and "change 000" in older and "change 002" not in older


def test_a_head_noted_earlier_is_found_while_its_rows_are_as_they_were(
    world: Any, page: Any
) -> None:
    for n in range(3):
        record(world, "match_change", subject=f"change {n}")
    _length, noted = chain_head(world.club.pk)
    record(world, "match_change", subject="later")
    assert "Row 3, written" in page(head=f" {noted.upper()} ")
    assert "No row has this head." in page(head="0" * 64)
    assert "No row has this head." in page(head="\x00")
    with Unguarded():
        AuditEntry.objects.filter(number=2, club=world.club).update(subject="another")
    assert "row 2 (match_change" in page(head=noted)


def test_what_others_changed_in_their_club_is_not_shown(world: Any, page: Any) -> None:
    audit_record(club=world.other_club, person=None, verb="draw_hold", subject="Theirs", detail={})
    assert "Theirs" not in page() and "Nothing has been changed in this club yet." in page()


def test_every_verb_in_words_is_of_a_kind() -> None:
    starts = [start for _words, begins in KINDS.values() for start in begins]
    assert [verb for verb in VERBS if not verb.startswith(tuple(starts))] == []
