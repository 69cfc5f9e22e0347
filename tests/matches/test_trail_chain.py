"""The trail's chain: whoever changes what stands in it is found, and a person can be erased."""

from __future__ import annotations

import datetime as dt
import hashlib
import json
from collections.abc import Callable
from dataclasses import replace
from importlib import import_module
from io import StringIO
from typing import Any

import pytest
from django.apps import apps
from django.core.management import call_command
from django.db import IntegrityError, connection, transaction
from hypothesis import given, settings
from hypothesis import strategies as st

from matches.models import AuditEntry, TrailHead
from matches.reads.trail import chain_head, chain_walked
from matches.reckon.trail import (
    ERASING,
    START,
    Misfit,
    TrailRow,
    row_digest,
    said_digest,
    trail_walk,
    words_digest,
)
from matches.writes.audit import audit_record
from tests.thorough import trials

T0 = dt.datetime(2026, 5, 2, 14, 5, tzinfo=dt.UTC)
fixed = import_module("matches.migrations.0016_trail_is_fixed")
back = import_module("matches.migrations.0015_trail_is_chained_back")


# The chain by itself -------------------------------------------------------------------------


def chain(many: int) -> list[TrailRow]:
    rows: list[TrailRow] = []
    for n in range(1, many + 1):
        said = said_digest(salt=f"{n:032x}", subject=f"match {n}", detail={"pence": n})
        row = TrailRow(
            number=n,
            club=7,
            person=n % 3 or None,
            at=T0 + dt.timedelta(seconds=n),
            verb="fee_take",
            subject=f"match {n}",
            detail={"pence": n},
            salt=f"{n:032x}",
            said=said,
            digest="",
        )
        rows.append(replace(row, digest=row_digest(row, before=rows[-1].digest if rows else START)))
    return rows


def test_a_row_is_what_sha_256_says_of_plain_json() -> None:
    """Taken with hashlib and json alone; the linking is section 5.1 of Haber and Stornetta, "How to
    time-stamp a digital document", Journal of Cryptology 3 (1991) 99-111 (from memory); the hash is
    SHA-256 of FIPS 180-4, whose vectors are hashlib's own tests."""
    before = ""
    for row in chain(3):
        words = json.dumps(
            {"detail": row.detail, "salt": row.salt, "subject": row.subject},
            separators=(",", ":"),
        )
        said = hashlib.sha256(words.encode()).hexdigest()
        who = "null" if row.person is None else row.person
        text = (
            f'{{"at":"2026-05-02T14:05:0{row.number}.000000+00:00","before":"{before}","club":7,'
            f'"number":{row.number},"said":"{said}","verb":"fee_take","who":{who}}}'
        )
        before = hashlib.sha256(text.encode()).hexdigest()
        assert (row.said, row.digest) == (said, before)


def test_a_sound_chain_holds_to_its_head_and_through_every_earlier_one() -> None:
    rows = chain(5)
    assert trail_walk([]).misfit is None
    for row in rows:
        walked = trail_walk(rows, head=(row.number, row.digest))
        assert (walked.length, walked.head, walked.misfit) == (5, rows[-1].digest, None)


CHANGED: dict[str, Any] = {
    "person": 99,
    "club": 8,
    "at": T0,
    "verb": "fee_give_back",
    "subject": "match 400",
    "detail": {"pence": 400},
    "said": "0" * 64,
    "digest": "f" * 64,
    "salt": "f" * 32,
}


@settings(max_examples=trials(50, in_full=150))
@given(data=st.data())
def test_any_one_tampering_is_found_at_the_row_it_was_done_to(data: st.DataObject) -> None:
    rows = chain(data.draw(st.integers(2, 9)))
    head = (len(rows), rows[-1].digest)
    at = data.draw(st.integers(0, len(rows) - 1))
    how = data.draw(st.sampled_from(["change", "delete", "insert", "swap", "unsalt"]))
    if how == "change":
        column = data.draw(st.sampled_from(sorted(CHANGED)))
        rows[at] = replace(rows[at], **{column: CHANGED[column]})
    elif how == "delete":
        del rows[at]
    elif how == "insert":
        rows.insert(at, replace(rows[at], number=at + 1, verb="prize_hand_over"))
    elif how == "swap":
        at = min(at, len(rows) - 2)
        one, other = rows[at], rows[at + 1]
        rows[at : at + 2] = [replace(other, number=one.number), replace(one, number=other.number)]
    else:
        rows[at] = replace(rows[at], salt="", subject="Somebody else")
    walked = trail_walk(rows, head=head)
    assert walked.misfit is not None
    assert walked.number == at + 1


def test_a_chain_made_anew_from_some_row_on_does_not_lead_through_the_old_head() -> None:
    rows = chain(6)
    noted = (4, rows[3].digest)
    rows[2] = replace(rows[2], person=99)
    for n in range(2, 6):
        rows[n] = replace(rows[n], digest=row_digest(rows[n], before=rows[n - 1].digest))
    assert trail_walk(rows).misfit is None
    assert trail_walk(rows, head=noted).misfit is Misfit.HEAD


def test_words_are_shortened_only_as_a_later_row_lists_it() -> None:
    rows = chain(3)
    shortened = replace(rows[1], salt="", subject="Angler 4")
    assert trail_walk([rows[0], shortened, rows[2]]).number == 2
    detail = {"shortened": [[2, words_digest(subject="Angler 4", detail={"pence": 2})]]}
    listing = replace(
        rows[0],
        number=4,
        verb=ERASING,
        detail=detail,
        said=said_digest(salt=rows[0].salt, subject=rows[0].subject, detail=detail),
    )
    listing = replace(listing, digest=row_digest(listing, before=rows[2].digest))
    assert trail_walk([rows[0], shortened, rows[2], listing]).misfit is None
    other = replace(shortened, subject="Angler 5")
    walked = trail_walk([rows[0], other, rows[2], listing])
    assert (walked.misfit, walked.number) == (Misfit.SHORTENED, 2)


# As it is stored -----------------------------------------------------------------------------


@pytest.fixture
def written(world: Any) -> list[AuditEntry]:
    """Six rows of the club, two of another and one of none, in turn."""
    one, other = world.club, world.other_club
    for n, club in enumerate([one, other, one, one, None, one, other, one, one]):
        audit_record(
            club=club,
            person=world.secretary if n % 2 else None,
            verb="match_change",
            subject=f"match {n}",
            detail={"é": [n, None, True], "z": {"b": "1", "a": 2}},
        )
    return list(AuditEntry.objects.filter(club=world.club).order_by("number"))


def said() -> tuple[str, int]:
    out = StringIO()
    try:
        call_command("trail_check", stdout=out)
    except SystemExit as end:
        return out.getvalue(), int(str(end.code))
    return out.getvalue(), 0


@pytest.mark.django_db
def test_each_club_and_what_is_of_none_has_a_chain_of_its_own(
    world: Any, written: list[AuditEntry]
) -> None:
    assert [row.number for row in written] == [1, 2, 3, 4, 5, 6]
    lengths = [chain_walked(club and club.pk) for club in (world.club, world.other_club, None)]
    assert [(one.length, one.misfit) for one in lengths] == [(6, None), (2, None), (1, None)]
    assert chain_head(world.club.pk) == (6, written[-1].digest)
    sentence, code = said()
    assert code == 0
    assert f"{world.club.name}: 6 rows, head {written[-1].digest}" in sentence


@pytest.mark.django_db
def test_a_change_that_is_taken_back_leaves_no_hole(world: Any, written: list[AuditEntry]) -> None:
    with pytest.raises(ZeroDivisionError), transaction.atomic():
        audit_record(club=world.club, person=None, verb="x", subject="x", detail={})
        raise ZeroDivisionError
    audit_record(club=world.club, person=None, verb="y", subject="y", detail={})
    assert (chain_walked(world.club.pk).length, chain_walked(world.club.pk).misfit) == (7, None)


@pytest.mark.django_db
@pytest.mark.parametrize(
    "change",
    [{"verb": "x"}, {"subject": "x"}, {"person": None}, {"detail": {}}, {"salt": "f" * 32}, None],
    ids=str,
)
def test_the_database_refuses_to_change_or_delete_a_row(
    written: list[AuditEntry], change: dict[str, Any] | None
) -> None:
    row = AuditEntry.objects.filter(pk=written[3].pk)
    with pytest.raises(IntegrityError, match="fixed once written"), transaction.atomic():
        row.delete() if change is None else row.update(**change)
    assert row.exists()


class Unguarded:
    """What somebody with the database in hand can do."""

    def __enter__(self) -> None:
        fixed.unguard(None, connection.schema_editor(atomic=False))

    def __exit__(self, *args: Any) -> None:
        fixed.guard(None, connection.schema_editor(atomic=False))


def sql(text: str) -> Callable[[list[AuditEntry]], None]:
    def act(rows: list[AuditEntry]) -> None:
        pks = {f"r{row.number}": row.pk for row in rows}
        with connection.cursor() as cursor:
            for statement in text.format(**pks).split(";"):
                cursor.execute(statement)

    return act


COLUMNS = "club_id, person_id, verb, subject, detail, at, salt, said, digest"
TAMPERED = {
    "words changed": (sql("UPDATE matches_auditentry SET subject = 'match 9' WHERE id = {r3}"), 3),
    "detail changed": (sql("UPDATE matches_auditentry SET detail = '{{}}' WHERE id = {r2}"), 2),
    "who changed": (sql("UPDATE matches_auditentry SET person_id = NULL WHERE id = {r4}"), 4),
    "shortened": (
        sql("UPDATE matches_auditentry SET salt = '', subject = 'x' WHERE id = {r3}"),
        3,
    ),
    "taken out": (sql("DELETE FROM matches_auditentry WHERE id = {r2}"), 2),
    "last taken out": (sql("DELETE FROM matches_auditentry WHERE id = {r6}"), 6),
    "put in at the end": (
        sql(
            f"INSERT INTO matches_auditentry (number, {COLUMNS})"
            f" SELECT 7, {COLUMNS} FROM matches_auditentry WHERE id = {{r6}}"
        ),
        7,
    ),
    "put in between": (
        sql(
            "UPDATE matches_auditentry SET number = number + 100 WHERE id IN ({r4}, {r5}, {r6});"
            "UPDATE matches_auditentry SET number = number - 99 WHERE id IN ({r4}, {r5}, {r6});"
            f"INSERT INTO matches_auditentry (number, {COLUMNS})"
            f" SELECT 4, {COLUMNS} FROM matches_auditentry WHERE id = {{r3}}"
        ),
        4,
    ),
    "in another order": (
        sql(
            "UPDATE matches_auditentry SET number = 99 WHERE id = {r2};"
            "UPDATE matches_auditentry SET number = 2 WHERE id = {r5};"
            "UPDATE matches_auditentry SET number = 5 WHERE id = {r2}"
        ),
        2,
    ),
}


@pytest.mark.django_db
@pytest.mark.parametrize("how", TAMPERED)
def test_tampering_past_the_guard_is_found_and_named(
    world: Any, written: list[AuditEntry], how: str
) -> None:
    act, number = TAMPERED[how]
    with Unguarded():
        act(written)
    walked = chain_walked(world.club.pk)
    assert walked.number == number
    sentence, code = said()
    assert code == 1
    assert f"{world.club.name}: row {number} " in sentence
    assert f"{world.other_club.name}: 2 rows" in sentence


@pytest.mark.django_db
def test_rows_written_before_there_was_a_chain_are_chained_as_they_stand(
    world: Any, written: list[AuditEntry], monkeypatch: pytest.MonkeyPatch
) -> None:
    """The migration's own steps, forwards and back, on rows as an earlier build left them."""
    monkeypatch.setattr(back, "BATCH", 4)
    with Unguarded():
        for row in AuditEntry.objects.all():
            AuditEntry.objects.filter(pk=row.pk).update(
                said="", digest="", salt="", number=row.pk + 5_000
            )
        TrailHead.objects.all().delete()
        back.chain(apps, connection.schema_editor(atomic=False))
        found = [chain_walked(club and club.pk) for club in (world.club, world.other_club, None)]
        assert [(one.length, one.misfit) for one in found] == [(6, None), (2, None), (1, None)]
        back.unchain(apps, None)
    kept = list(AuditEntry.objects.order_by("pk").values_list("subject", flat=True))
    assert kept == [f"match {n}" for n in (0, 1, 2, 3, 5, 6, 7, 8)]
    audit_record(club=world.club, person=None, verb="z", subject="z", detail={})
    assert chain_walked(world.club.pk).length == 7
