"""Copies of a club on PostgreSQL: damaged, killed midway, without the right, into nothing."""

from __future__ import annotations

import os
import subprocess
import sys
import uuid
from collections.abc import Iterator
from pathlib import Path
from typing import Any
from urllib.parse import quote

import pytest
from django.conf import settings
from django.db import connection

from matches.models import Club, Fact
from tests.races.copies_damaged import DAMAGED, damaged_refused, put
from tests.races.copies_taken import taken_meanwhile, weighed
from web.copies import CopyFault, copy_prove, copy_put_back, copy_take, postgres_kind
from web.copies.whole import PARTS

pytestmark = pytest.mark.django_db(transaction=True)
DAMAGED_HERE = DAMAGED | {"inflates": (put(PARTS["postgresql"], b"\0" * 50_000_000), "not as long")}


@pytest.fixture(autouse=True)
def on_server(
    request: pytest.FixtureRequest, settings: Any, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> Iterator[Any]:
    """The world on PostgreSQL; of what a copy was tried in, nothing is left afterwards."""
    if connection.vendor != "postgresql":
        pytest.skip("copies a server's database")
    settings.VAR_DIR = tmp_path / "var"
    tried: list[uuid.UUID] = []
    monkeypatch.setattr(postgres_kind, "uuid4", lambda: tried.append(uuid.uuid4()) or tried[-1])
    yield request.getfixturevalue("shared_world")
    assert list(tmp_path.rglob(".drawbag-*.part")) == []
    names = [f"drawbag_copy_{one.hex[:12]}" for one in tried]
    with connection.cursor() as cursor:
        cursor.execute("SELECT datname FROM pg_database WHERE datname = ANY(%s)", [names])
        assert cursor.fetchall() == []


def address(name: str) -> str:
    at = connection.settings_dict
    return f"postgres://{at['USER']}@{quote(at['HOST'], safe='')}/{name}"


def test_every_damaged_copy_is_refused_in_words_and_nothing_is_touched(
    on_server: Any, tmp_path: Path
) -> None:
    damaged_refused(DAMAGED_HERE, folder=tmp_path)


def test_copy_taken_while_facts_come_in_holds_whole_facts_up_to_one_moment(
    on_server: Any, together: Any, tmp_path: Path
) -> None:
    copy = taken_meanwhile(on_server, together, tmp_path / "copy.zip")
    rows = copy_prove(copy.file).rows
    assert 8 <= rows["matches_fact"] == rows["matches_weighin"] <= Fact.objects.count()


@pytest.mark.parametrize(
    "end",
    ["\\! kill -9 $PPID", "SELECT pg_terminate_backend(pg_backend_pid());"],
    ids=["psql killed", "connection lost"],
)
def test_putting_back_that_ends_midway_leaves_the_rows_as_they_were(
    on_server: Any, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, end: str
) -> None:
    copy = copy_take(tmp_path / "copy.zip").file
    weighed(on_server, 4250)
    epoch = Club.objects.get(slug="otterbeck").epoch
    run = postgres_kind._run

    def ended_early(tool: str, *words: str) -> None:
        if "--single-transaction" in words:  # all is dropped and filled anew, not committed yet
            with Path(words[words.index("-f") + 1]).open("a") as script:
                script.write(f"\n{end}\n")
        run(tool, *words)

    monkeypatch.setattr(postgres_kind, "_run", ended_early)
    with pytest.raises(CopyFault, match="psql"):
        copy_put_back(copy, replace=True, before=tmp_path / "before")
    assert Fact.objects.count() == 1
    assert Club.objects.get(slug="otterbeck").epoch == epoch


#: Run in a process of its own, which kills itself where the word says.
KILLED = """
import os, signal, sys
import django; django.setup()
from pathlib import Path
from web.copies import copy_take, folders, whole
def die(*_args, **_given): os.kill(os.getpid(), signal.SIGKILL)
if sys.argv[1] == "being written": whole.os.fsync = die
else: folders.os.link = die
copy_take(Path(sys.argv[2]))
"""


def run_apart(database: str, var: Path, *words: str) -> subprocess.CompletedProcess[bytes]:
    own = {"DATABASE_URL": address(database), "VAR_DIR": str(var)}
    environment = os.environ | own | {"DJANGO_SETTINGS_MODULE": "web.settings"}
    return subprocess.run(
        [sys.executable, *words], env=environment, cwd=settings.BASE_DIR, capture_output=True
    )


@pytest.mark.parametrize("where", ["being written", "before its name"])
def test_copy_killed_midway_leaves_no_half_file(on_server: Any, tmp_path: Path, where: str) -> None:
    out = tmp_path / "out" / "new.zip"
    used = connection.settings_dict["NAME"]
    ended = run_apart(used, tmp_path / "var", "-c", KILLED, where, str(out))
    assert ended.returncode == -9, ended.stderr
    assert list(out.parent.glob("*.zip")) == []
    assert copy_prove(copy_take(out).file).rows["matches_club"] == 2


def test_copy_goes_back_into_a_new_database(on_server: Any, tmp_path: Path) -> None:
    weighed(on_server, 4250)
    copy = copy_take(tmp_path / "copy.zip").file
    with connection.cursor() as cursor:
        cursor.execute("CREATE DATABASE elsewhere TEMPLATE template0")
    try:
        ended = run_apart("elsewhere", tmp_path / "var", "manage.py", "restore", str(copy))
        assert ended.returncode == 0, ended.stderr
        ended = run_apart("elsewhere", tmp_path / "var", "manage.py", "integrity")
        assert ended.returncode == 0, ended.stdout
    finally:
        with connection.cursor() as cursor:
            cursor.execute("DROP DATABASE elsewhere WITH (FORCE)")


def test_role_that_may_make_no_database_copies_but_puts_nothing_back(
    on_server: Any, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    with connection.cursor() as cursor:
        cursor.execute("CREATE ROLE plain LOGIN; GRANT pg_read_all_data TO plain")
    try:
        with monkeypatch.context() as patch:
            patch.setitem(connection.settings_dict, "USER", "plain")
            copy = copy_take(tmp_path / "copy.zip").file
            with pytest.raises(CopyFault, match="permission denied to create database"):
                copy_put_back(copy, replace=True, before=tmp_path / "before")
        assert Club.objects.count() == 2
    finally:
        with connection.cursor() as cursor:
            cursor.execute("DROP OWNED BY plain; DROP ROLE plain")
