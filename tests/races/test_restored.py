"""A database put back from a copy: the phones fill in what the copy lacks."""

from __future__ import annotations

import shutil
import sqlite3
from collections.abc import Iterator
from contextlib import closing, contextmanager
from pathlib import Path
from typing import Any

import pytest
from django.core.management import call_command
from django.db import connection

from matches.models import AuditEntry, Club, Fact, WeighIn
from tests.web.phone import Phone

pytestmark = pytest.mark.django_db(transaction=True)


@contextmanager
def put_back_afterwards(copy: Path) -> Iterator[None]:
    """A copy as the readme says to take one; at the end the database is that copy again."""
    if connection.vendor != "sqlite":
        pytest.skip("copies a database's file")
    with closing(sqlite3.connect(copy)) as taken:
        connection.ensure_connection()
        connection.connection.backup(taken)
    yield
    in_use = Path(connection.settings_dict["NAME"])
    connection.close()
    for beside in ("-wal", "-shm"):
        in_use.with_name(in_use.name + beside).unlink(missing_ok=True)
    shutil.copy(copy, in_use)


@pytest.mark.fault("restored from a copy")
def test_phones_fill_what_the_copy_lacks_once_the_command_has_run(
    shared_world: Any, tmp_path: Path
) -> None:
    world = shared_world
    maud, tamsin = Phone(world.captain, world.match), Phone(world.weigher, world.match)
    maud.weigh("1", 4250)
    maud.sync()
    with put_back_afterwards(tmp_path / "copy.sqlite3"):
        maud.weigh("2", 980)
        tamsin.weigh("5", 1700)
        maud.sync()
        tamsin.sync()
    # A phone that has read further than the copy may come only when new facts hide that.
    for n in range(3):
        tamsin.weigh("4", 100 + n)
    assert Fact.objects.count() == 1
    call_command("restored", verbosity=0)
    for phone in (tamsin, maud, tamsin):
        phone.sync()
    assert Fact.objects.count() == 6
    assert sorted(WeighIn.objects.values_list("section_peg__peg__number", "weight")) == [
        ("1", 4250),
        ("2", 980),
        ("4", 100),
        ("4", 101),
        ("4", 102),
        ("5", 1700),
    ]
    assert maud.pulled.keys() == tamsin.pulled.keys() == set(ids())


@pytest.mark.fault("restored from a copy")
def test_a_phone_that_read_further_than_the_copy_gives_it_away(
    shared_world: Any, tmp_path: Path
) -> None:
    world = shared_world
    maud, wilmot = Phone(world.captain, world.match), Phone(world.member, world.match)
    maud.weigh("1", 4250)
    maud.sync()
    with put_back_afterwards(tmp_path / "copy.sqlite3"):
        maud.weigh("2", 980)
        maud.sync()
        wilmot.sync()
    # Nobody ran the command: Wilmot, who has nothing to send, asks first.
    before = Club.objects.get(pk=world.club.pk).epoch
    wilmot.sync()
    assert Club.objects.get(pk=world.club.pk).epoch != before
    maud.sync()
    wilmot.sync()
    assert maud.pulled.keys() == wilmot.pulled.keys() == set(ids())
    assert len(maud.pulled) == 2
    trail = AuditEntry.objects.get(verb="epoch_renew")
    assert trail.detail == {"counted": 1, "read": 2}


def test_a_cursor_within_what_was_counted_changes_no_epoch(shared_world: Any) -> None:
    phone = Phone(shared_world.captain, shared_world.match)
    phone.weigh("1", 4250)
    phone.sync()
    phone.sync()
    assert not AuditEntry.objects.filter(verb="epoch_renew").exists()


def ids() -> list[str]:
    return [str(pk) for pk in Fact.objects.values_list("pk", flat=True)]
