"""Copies of a club that goes on working, put back elsewhere and over it."""

from __future__ import annotations

import os
import sqlite3
import stat
import subprocess
import sys
from collections.abc import Iterator
from contextlib import closing
from pathlib import Path
from typing import Any

import pytest
from django.conf import settings
from django.core.management import CommandError, call_command
from django.db import connection, transaction

from matches.models import Club, Fact, Person, WeighIn
from tests.races.copies_damaged import DAMAGED, damaged_refused
from tests.races.copies_taken import taken_meanwhile, weighed
from web.copies import CopyFault, copies_thin, copy_prove, copy_put_back, copy_take
from web.copies.folders import work_folder
from web.integrity import faults_found
from web.tasks import nightly_copy

pytestmark = pytest.mark.django_db(transaction=True)


@pytest.fixture(autouse=True)
def own_folder(settings: Any, tmp_path: Path) -> Iterator[None]:
    settings.VAR_DIR = tmp_path / "var"
    yield
    assert list(tmp_path.rglob(".drawbag-*.part")) == []


@pytest.fixture
def on_sqlite(shared_world: Any) -> Any:
    if connection.vendor != "sqlite":
        pytest.skip("looks into the database's file")
    return shared_world


def test_copy_taken_while_facts_come_in_holds_whole_facts_up_to_one_moment(
    on_sqlite: Any, together: Any, tmp_path: Path
) -> None:
    copy = taken_meanwhile(on_sqlite, together, tmp_path / "copy.zip")
    assert stat.S_IMODE(copy.file.stat().st_mode) == 0o600
    manifest = copy_prove(copy.file, to=tmp_path / "apart.sqlite3")
    with closing(sqlite3.connect(tmp_path / "apart.sqlite3")) as db:
        numbers = [row[0] for row in db.execute("select cseq from matches_fact order by cseq")]
        shown = {row[0] for row in db.execute("select fact_id from matches_weighin")}
        counted = db.execute("select max(fact_counter) from matches_club").fetchone()[0]
        assert shown <= {row[0] for row in db.execute("select id from matches_fact")}
    assert len(numbers) >= 8 and numbers == list(range(1, len(numbers) + 1))
    assert counted == len(numbers) == manifest.rows["matches_fact"] == len(shown)
    assert Fact.objects.count() >= len(numbers)


@pytest.mark.fault("restored from a copy")
def test_copy_put_back_over_a_running_club_has_phones_offer_what_it_lacks(
    on_sqlite: Any, tmp_path: Path
) -> None:
    phone = weighed(on_sqlite, 4250)
    copy = copy_take(tmp_path / "copy.zip")
    phone.weigh("2", 980)
    phone.sync()
    epoch = Club.objects.get(slug="otterbeck").epoch
    with closing(sqlite3.connect(connection.settings_dict["NAME"])) as other:
        other.execute("select count(*) from matches_fact").fetchone()
        with pytest.raises(CommandError, match="--replace"):
            call_command("restore", copy.file)
        call_command("restore", copy.file, replace=True, before=tmp_path / "before", verbosity=0)
        assert other.execute("select count(*) from matches_fact").fetchone() == (1,)
    assert Club.objects.get(slug="otterbeck").epoch != epoch
    (before,) = (tmp_path / "before").iterdir()
    assert copy_prove(before).rows["matches_fact"] == 2
    phone.sync()
    phone.sync()
    assert sorted(WeighIn.objects.values_list("weight", flat=True)) == [980, 4250]
    with closing(sqlite3.connect(connection.settings_dict["NAME"])) as other:
        assert other.execute("pragma journal_mode").fetchone() == ("wal",)


#: Run in a process of its own, which kills itself where the word says.
KILLED = """
import os, signal, sqlite3, sys
import django; django.setup()
from pathlib import Path
from web.copies import copy_put_back, copy_take, folders, sqlite_kind, whole

def die(*_args, **_given): os.kill(os.getpid(), signal.SIGKILL)

class Slow(sqlite3.Connection):
    def backup(self, target):
        super().backup(target, pages=20, progress=die)

class Half:
    connect = staticmethod(lambda *a, **k: sqlite3.connect(*a, **k, factory=Slow))
    Error, Connection = sqlite3.Error, sqlite3.Connection

where, file = sys.argv[1], Path(sys.argv[2])
if where == "being written": whole.os.fsync = die
elif where == "before its name": folders.os.link = die
else: sqlite_kind.sqlite3 = Half
if where == "being put back": copy_put_back(file, replace=True, before=file.parent / "before")
else: copy_take(file)
"""


@pytest.mark.parametrize("where", ["being written", "before its name", "being put back"])
def test_killed_midway_leaves_the_database_as_it_was_and_no_half_file(
    on_sqlite: Any, tmp_path: Path, where: str
) -> None:
    copy = copy_take(tmp_path / "copy.zip").file
    weighed(on_sqlite, 4250)
    file = copy if where == "being put back" else tmp_path / "out" / "new.zip"
    name = connection.settings_dict["NAME"]
    environment = os.environ | {
        "DATABASE_URL": f"sqlite:///{name}",
        "VAR_DIR": str(tmp_path / "var"),
        "DJANGO_SETTINGS_MODULE": "web.settings",
    }
    words = [sys.executable, "-c", KILLED, where, str(file)]
    ended = subprocess.run(words, env=environment, cwd=settings.BASE_DIR, capture_output=True)
    assert ended.returncode == -9, ended.stderr
    connection.close()
    assert Fact.objects.count() == 1
    with connection.cursor() as cursor:
        assert cursor.execute("pragma integrity_check").fetchone() == ("ok",)
    if where == "being put back":
        with work_folder(tmp_path / "var") as folder:  # it takes away what the killed one left
            assert [path.name for path in folder.parent.glob(".drawbag-*")] == [folder.name]
    else:
        assert list(file.parent.glob("*.zip")) == []
        assert copy_prove(copy_take(file).file).rows["matches_fact"] == 1


def test_every_damaged_copy_is_refused_in_words_and_nothing_is_touched(
    on_sqlite: Any, tmp_path: Path
) -> None:
    damaged_refused(DAMAGED, folder=tmp_path)
    assert Person.objects.exists()


def test_copy_goes_back_into_a_place_where_there_is_nothing_yet(
    on_sqlite: Any, tmp_path: Path
) -> None:
    weighed(on_sqlite, 4250)
    copy = copy_take(tmp_path / "copy.zip").file
    other = tmp_path / "elsewhere.sqlite3"
    subprocess.run(
        [sys.executable, "manage.py", "restore", str(copy)],
        env=os.environ | {"DATABASE_URL": f"sqlite:///{other}", "VAR_DIR": str(tmp_path / "var")},
        cwd=settings.BASE_DIR,
        check=True,
        capture_output=True,
    )
    with closing(sqlite3.connect(other)) as db:
        for table, rows in copy_prove(copy).rows.items():
            # A new epoch for each of two clubs, and the ends of their trails.
            more = {"matches_auditentry": 2, "matches_trailhead": 2}.get(table, 0)
            assert db.execute(f"select count(*) from {table}").fetchone() == (rows + more,), table


def test_only_the_oldest_copies_of_ours_are_dropped_and_none_is_written_over(
    on_sqlite: Any, tmp_path: Path
) -> None:
    for name in ("drawbag-20260101-000000.zip", "drawbag-20260102-000000.zip", "letter.zip"):
        (tmp_path / name).touch()
    call_command("backup", tmp_path, keep=2, verbosity=0)
    kept = sorted(path.name for path in tmp_path.glob("*.zip"))
    assert kept[0] == "drawbag-20260102-000000.zip" and kept[-1] == "letter.zip" and len(kept) == 3
    assert copies_thin(tmp_path, keep=2) == []
    with pytest.raises(CommandError, match="there already"):
        call_command("backup", tmp_path / "letter.zip")
    assert (tmp_path / "letter.zip").stat().st_size == 0


def test_database_that_is_damaged_is_told_in_words_by_each_command(
    on_sqlite: Any, tmp_path: Path
) -> None:
    copy = copy_take(tmp_path / "copy.zip").file
    connection.close()
    in_use = Path(connection.settings_dict["NAME"])
    in_use.write_bytes(b"no database at all " * 300)
    assert any("The database says" in sentence for sentence in faults_found())
    with pytest.raises(CommandError, match="cannot be copied"):
        call_command("backup", tmp_path / "new.zip")
    with pytest.raises(CommandError, match="move it away"):
        call_command("restore", copy, replace=True)
    in_use.unlink()
    call_command("restore", copy, verbosity=0)
    assert Club.objects.count() == 2


def test_nightly_copy_lands_in_its_folder_and_the_oldest_goes(
    on_sqlite: Any, settings: Any, tmp_path: Path
) -> None:
    settings.COPIES_DIR, settings.COPIES_KEEP = str(tmp_path / "nights"), 1
    old = tmp_path / "nights" / "drawbag-20260101-000000.zip"
    old.parent.mkdir()
    old.touch()
    nightly_copy()
    (made,) = old.parent.iterdir()
    assert made != old and copy_prove(made).kind == "sqlite"


def test_copy_inside_a_transaction_is_refused_and_not_waited_for(
    on_sqlite: Any, tmp_path: Path
) -> None:
    with transaction.atomic(), pytest.raises(CopyFault, match="transaction"):
        copy_take(tmp_path / "copy.zip")


def test_copy_of_a_server_is_put_back_whole_under_a_new_epoch(
    shared_world: Any, tmp_path: Path
) -> None:
    if connection.vendor != "postgresql":
        pytest.skip("asks pg_dump")
    phone = weighed(shared_world, 4250)
    copy = copy_take(tmp_path / "copy.zip")
    phone.weigh("2", 980)
    phone.sync()
    epoch = Club.objects.get(slug="otterbeck").epoch
    with pytest.raises(CopyFault, match="--replace"):
        copy_put_back(copy.file, replace=False, before=tmp_path / "before")
    put = copy_put_back(copy.file, replace=True, before=tmp_path / "before")
    assert put.before is not None and put.before.manifest.rows["matches_fact"] == 2
    assert Fact.objects.count() == put.manifest.rows["matches_fact"] == 1
    assert Club.objects.get(slug="otterbeck").epoch != epoch
    phone.sync()
    phone.sync()
    assert sorted(WeighIn.objects.values_list("weight", flat=True)) == [980, 4250]
