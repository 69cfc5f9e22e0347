"""Record the invented club's database as an earlier commit's code makes it, on either database.

    .venv/bin/python .ci/scripts/with_servers.py postgres -- \\
        .venv/bin/python -m tests.builds.record_database COMMIT

The commit's own code makes the tables, loads the club and works out its order; what is then in the
database goes into `cases/` as SQL. `tests/web/test_upgrade.py` has today's code migrate it. Record
anew before each release, so that people's own step up is the one that is tried.
"""

from __future__ import annotations

import io
import lzma
import os
import sqlite3
import subprocess
import sys
import tarfile
import tempfile
from contextlib import closing
from pathlib import Path

ROOT = Path(__file__).parents[2]
CASES = ROOT / "tests/cases"
MADE = """
import datetime as dt
import django; django.setup()
from django.core.management import call_command
call_command("migrate", verbosity=0)
from bait.writes.orders import order_ask, order_version_make
from web.demo import demo_load
demo = demo_load(today=dt.date(2026, 6, 20))
_order, work = order_ask(demo.captain, team=demo.team, match=demo.saturday)
order_version_make(work.pk)
"""


def record(commit: str) -> None:
    """Write both files anew."""
    with tempfile.TemporaryDirectory(prefix="drawbag-earlier-") as folder:
        _code_taken(commit, Path(folder))
        file = Path(folder) / "var" / "drawbag.sqlite3"
        _made(Path(folder), "")
        with closing(sqlite3.connect(file)) as made:
            _kept("sqlite", "\n".join(made.iterdump()))
        server = os.environ["DATABASE_URL"]
        _made(Path(folder), server)
        words = [
            "pg_dump",
            "--no-owner",
            "--no-privileges",
            server.replace("postgres:", "postgresql:"),
        ]
        dumped = subprocess.run(words, capture_output=True, text=True, check=True).stdout
        lines = dumped.splitlines()  # a word that only this pg_dump's own psql may know is left out
        _kept(
            "postgresql", "\n".join(x for x in lines if not x.startswith(("\\restrict", "\\unre")))
        )


def _code_taken(commit: str, folder: Path) -> None:
    words = ["git", "archive", commit]
    packed = subprocess.run(words, cwd=ROOT, capture_output=True, check=True).stdout
    with tarfile.open(fileobj=io.BytesIO(packed)) as code:
        code.extractall(folder, filter="data")


def _made(folder: Path, database: str) -> None:
    own = {"DATABASE_URL": database, "VAR_DIR": str(folder / "var"), "BROKER_URL": ""}
    environment = os.environ | own | {"DJANGO_SETTINGS_MODULE": "web.settings"}
    subprocess.run([sys.executable, "-c", MADE], cwd=folder, env=environment, check=True)


def _kept(kind: str, sql: str) -> None:
    (CASES / f"earlier_database.{kind}.sql.xz").write_bytes(lzma.compress(sql.encode(), preset=9))


if __name__ == "__main__":
    record(sys.argv[1])
