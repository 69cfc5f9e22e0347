"""The page that shows what came out: machine, versions, date, and the table."""

from __future__ import annotations

import datetime as dt
import os
import platform
import re
import subprocess
from collections.abc import Sequence
from importlib.metadata import version
from pathlib import Path

from .databases import ROOT, servers_tool
from .rows import Row, table

PAGE = ROOT / "web" / "docs" / "load.md"
WORDS = """# Load, faults and bad input

Written by `python -m tests.load --write` (`--short` for a small form of it), on {date}.

Machine: {cpus} processors ({model}), {memory} GiB of memory, load {load} when it began to write
this. Python {python}, Django {django}, gunicorn {gunicorn}, SQLite {sqlite}, {postgres}. The site
runs as the demo does, two processes of four threads; phones and site share the machine. Each
commit is on the disk before a phone is told so (SQLite: WAL and `synchronous=FULL`; PostgreSQL:
its settings as they come).

A phone that comes while a process has enough to do is told 429 and its turn
(`PUSHES_AT_ONCE`, `web/push_gate.py`); it waits as the app does. So two times are measured: how
long a push waits for its answer, and after how long a phone had all of its facts in.

{table}
"""


def page_write(rows: Sequence[Row]) -> None:
    import sqlite3

    PAGE.parent.mkdir(exist_ok=True)
    text = WORDS.format(
        date=dt.datetime.now(dt.UTC).date().isoformat(),
        cpus=os.cpu_count(),
        model=_first(r"model name\s*: (.*)", Path("/proc/cpuinfo")),
        memory=int(_first(r"MemTotal:\s*(\d+)", Path("/proc/meminfo"))) // 1024**2,
        load=" ".join(f"{n:.1f}" for n in os.getloadavg()),
        python=platform.python_version(),
        django=version("django"),
        gunicorn=version("gunicorn"),
        sqlite=sqlite3.sqlite_version,
        postgres=_postgres_version(),
        table=table(rows),
    )
    PAGE.write_text(text)


def rows_add(rows: Sequence[Row]) -> None:
    """Put the rows of a part that was tried by itself into the table as it stands, each in the
    place of the one before of the same trial and database, or at the end."""
    lines = PAGE.read_text().rstrip("\n").split("\n")
    for line in table(rows).split("\n")[2:]:
        same = "|".join(line.split("|")[:3]) + "|"
        at = [n for n, old in enumerate(lines) if old.startswith(same)]
        lines[at[0] if at else len(lines) : (at[0] if at else len(lines)) + 1] = [line]
    PAGE.write_text("\n".join(lines) + "\n")


def _first(pattern: str, file: Path) -> str:
    found = re.search(pattern, file.read_text())
    return found[1] if found else "0"


def _postgres_version() -> str:
    tool = servers_tool().postgres_tool("postgres")
    if tool is None:
        return "no PostgreSQL"
    done = subprocess.run([tool, "--version"], capture_output=True, text=True, check=True)
    return " ".join(done.stdout.split()[0:3:2])
