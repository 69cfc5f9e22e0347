"""A club's database of an earlier version, migrated by today's code, on the database in use.

The files are recorded by `tests/builds/record_database.py`, so that no history is needed here.
"""

from __future__ import annotations

import json
import lzma
import os
import re
import sqlite3
import subprocess
import sys
from collections.abc import Iterator
from contextlib import closing
from pathlib import Path
from urllib.parse import quote
from uuid import uuid4

import pytest
from django.conf import settings
from django.db import connection

pytestmark = pytest.mark.django_db(transaction=True)
CASES = Path(__file__).parents[1] / "cases"
#: What no step up may lose a row of.
KEPT = (
    "matches_club",
    "matches_person",
    "matches_fact",
    "matches_weighin",
    "matches_bulletin",
    "matches_leaguetable",
    "bait_plan",
    "bait_orderversion",
    "bait_lotmove",
)


@pytest.fixture
def earlier(tmp_path: Path) -> Iterator[str]:
    """The address of a database as the earlier version left it."""
    packed = CASES / f"earlier_database.{connection.vendor}.sql.xz"
    sql = lzma.decompress(packed.read_bytes()).decode()
    if connection.vendor == "sqlite":
        with closing(sqlite3.connect(tmp_path / "earlier.sqlite3")) as made:
            # Constraints ask for it; Django gives it to its own connections.
            made.create_function("regexp", 2, lambda form, text: bool(re.search(form, text)))
            made.executescript(sql)
        yield f"sqlite:///{tmp_path / 'earlier.sqlite3'}"
        return
    at, name = connection.settings_dict, f"earlier_{uuid4().hex[:12]}"
    with connection.cursor() as cursor:
        cursor.execute(f"CREATE DATABASE {name} TEMPLATE template0")
    address = f"postgres://{at['USER']}@{quote(at['HOST'], safe='')}/{name}"
    try:
        words = ["psql", "-q", "--set=ON_ERROR_STOP=1", address.replace("postgres:", "postgresql:")]
        subprocess.run(words, input=sql, text=True, check=True, stdout=subprocess.DEVNULL)
        yield address
    finally:
        with connection.cursor() as cursor:
            cursor.execute(f"DROP DATABASE {name} WITH (FORCE)")


#: All in one process, which starts once: what stands before and after, in two lines.
STEP_UP = """
import json, sys
import django; django.setup()
from django.core.management import call_command
from django.db import connection

def counted():
    with connection.cursor() as cursor:
        for table in sys.argv[1:]:
            cursor.execute(f"select count(*) from {table}")
            yield table, cursor.fetchone()[0]

print(json.dumps(dict(counted())))
call_command("migrate", interactive=False, verbosity=0)
print(json.dumps(dict(counted())))
call_command("integrity", stdout=sys.stderr)
call_command("migrate", check_unapplied=True, verbosity=0)
"""


def run(address: str, var: Path, *words: str) -> str:
    own = {"DATABASE_URL": address, "VAR_DIR": str(var)}
    environment = os.environ | own | {"DJANGO_SETTINGS_MODULE": "web.settings"}
    ended = subprocess.run(
        [sys.executable, "-c", *words],
        env=environment,
        cwd=settings.BASE_DIR,
        capture_output=True,
        text=True,
    )
    assert ended.returncode == 0, ended.stdout + ended.stderr
    return ended.stdout


def test_club_of_an_earlier_version_is_whole_after_the_step_up(
    earlier: str, tmp_path: Path
) -> None:
    before, after = map(json.loads, run(earlier, tmp_path, STEP_UP, *KEPT).splitlines())
    assert sorted(before) == sorted(KEPT) and 0 not in before.values()
    assert after == before
