"""Faults that the test suite makes too, told in the same table: each is a few tests of its own."""

from __future__ import annotations

import re
import subprocess
import sys
from typing import Final, NamedTuple

from .databases import ROOT, Postgres, Sqlite
from .rows import Row


class Fault(NamedTuple):
    """`tests`: what to run; `on`: the databases it can be tried on."""

    words: str
    tests: tuple[str, ...]
    on: tuple[str, ...] = (Sqlite.name, Postgres.name)


FAULTS: Final = (
    Fault(
        "a full disk",
        ("tests/races/test_server_killed.py", "-k", "full_disk"),
        (Sqlite.name,),
    ),
    Fault("the server's clock an hour and a day off", ("tests/races/test_server_clock.py",)),
    Fault("the database away or in a deadlock", ("tests/races/test_fact_faults.py",)),
    Fault(
        "workers killed (-9) in the middle, the broker down",
        ("tests/races/test_worker_killed.py",),
        (Sqlite.name,),
    ),
)


def races_try(on: str) -> list[Row]:
    """A row for each fault that can be tried on that database."""
    return [_tried(fault, on) for fault in FAULTS if on in fault.on]


def _tried(fault: Fault, on: str) -> Row:
    words = [sys.executable, "-m", "pytest", "-v", "-n0", "-p", "no:cacheprovider", *fault.tests]
    if on == Postgres.name:
        servers = [sys.executable, str(ROOT / ".ci/scripts/with_servers.py"), "postgres", "--"]
        words = [*servers, *words]
    ran = subprocess.run(words, cwd=ROOT, capture_output=True, text=True)
    passed = _count(ran.stdout, "passed")
    measured = f"tests passed: {passed}, failed: {_count(ran.stdout, 'failed')}"
    good = ran.returncode == 0 and passed > 0
    return Row(fault.words, on, measured, "nothing lost, none twice, told in words", good)


def _count(output: str, word: str) -> int:
    found = re.findall(rf"(\d+) {word}", output)
    return int(found[-1]) if found else 0
