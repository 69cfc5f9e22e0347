"""Entry fees taken and given back: to the penny, a tap sent twice once, nothing rubbed out."""

from __future__ import annotations

import uuid
from typing import Any

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext

from matches.models import AuditEntry, Entry, FeePayment
from matches.problems import Code, Problem
from matches.reads.fees import fee_of, fee_rows, fees_of
from matches.writes.fees import fee_give_back, fee_take

pytestmark = pytest.mark.django_db


@pytest.fixture
def match(world: Any) -> Any:
    world.match.fee_pence = 1250
    world.match.save()
    return world.match


def pay(world: Any, pence: int, key: uuid.UUID | None = None, **more: Any) -> FeePayment:
    return fee_take(
        more.pop("person", world.secretary),
        match=world.match,
        entry_id=world.entries[more.pop("who", "Maud")].pk,
        pence=pence,
        key=key or uuid.uuid4(),
        **more,
    )


def give_back(world: Any, pence: int, key: uuid.UUID | None = None) -> FeePayment:
    return fee_give_back(
        world.secretary,
        match=world.match,
        entry_id=world.entries["Maud"].pk,
        pence=pence,
        key=key or uuid.uuid4(),
    )


def test_a_fee_in_parts_ends_owing_nothing(world: Any, match: Any) -> None:
    maud = world.entries["Maud"]
    assert (fee_of(match, maud).due, fee_of(match, maud).owes) == (1250, 1250)
    pay(world, 1000, note="At the draw.")
    assert fee_of(match, maud).owes == 250
    pay(world, 250)
    assert (fee_of(match, maud).paid, fee_of(match, maud).owes) == (1250, 0)
    assert [row.note for row in fee_rows(maud)] == ["At the draw.", ""]


def test_the_same_tap_sent_twice_is_one_payment(world: Any, match: Any) -> None:
    key = uuid.uuid4()
    assert pay(world, 1250, key) == pay(world, 1250, key)
    assert FeePayment.objects.count() == 1
    assert AuditEntry.objects.filter(verb="fee_take").count() == 1
    for again in (lambda: pay(world, 1000, key), lambda: pay(world, 1250, key, who="Odette")):
        with pytest.raises(Problem, match="used for another payment"):
            again()
    assert FeePayment.objects.count() == 1


def test_no_more_is_given_back_than_was_taken(world: Any, match: Any) -> None:
    pay(world, 1250)
    with pytest.raises(Problem, match=r"Only 12\.50 was taken"):
        give_back(world, 1251)
    give_back(world, 1250)
    assert [row.pence for row in fee_rows(world.entries["Maud"])] == [1250, -1250]


@pytest.mark.parametrize("pence", [0, 1_000_001])
def test_an_amount_of_nothing_or_above_all_sense_is_refused(
    world: Any, match: Any, pence: int
) -> None:
    with pytest.raises(Problem, match="above zero"):
        pay(world, pence)


def test_who_gave_the_place_back_owes_nothing_and_gets_back_what_was_paid(
    world: Any, match: Any
) -> None:
    pay(world, 1250)
    Entry.objects.filter(pk=world.entries["Maud"].pk).update(status="withdrawn")
    maud = Entry.objects.get(pk=world.entries["Maud"].pk)
    assert (fee_of(match, maud).owes, fee_of(match, maud).to_give_back) == (0, 1250)


def test_one_query_for_everybodys_account(world: Any, match: Any) -> None:
    pay(world, 1000)
    entries = list(Entry.objects.filter(match=match))
    with CaptureQueriesContext(connection) as asked:
        fees = fees_of(match, entries)
    assert len(asked) == 1
    assert sum(fee.owes for fee in fees.values()) == 4 * 1250 - 1000


@pytest.mark.parametrize(
    ("who", "code"),
    [
        ("captain", Code.NOT_ALLOWED),
        ("member", Code.NOT_ALLOWED),
        ("weigher", Code.NOT_ALLOWED),
        ("outsider", Code.NOT_FOUND),
    ],
)
def test_only_the_clubs_secretary_takes_money(world: Any, match: Any, who: str, code: Code) -> None:
    with pytest.raises(Problem) as caught:
        pay(world, 1250, person=getattr(world, who))
    assert caught.value.code is code
    assert not FeePayment.objects.exists()
