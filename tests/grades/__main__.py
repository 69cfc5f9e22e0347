"""Grades of every page: `make grades`, or `python -m tests.grades [lighthouse] [walk] [--write]`.

Quiet, on two processors, it takes about a quarter of an hour. Lighthouse's own parts are in this
folder: `npm ci --prefix tests/grades`. Ends with 1 where a page is below an aim, or axe or the
keyboard found something.
"""

from __future__ import annotations

import sys
import tempfile
import time
from pathlib import Path

from .lighthouse import AIMS, graded
from .sheet import PAGE, sheet
from .site import cookies, demo, paths
from .walk import Walked, walk


def main(words: list[str]) -> int:
    what = [word for word in words if not word.startswith("-")] or ["lighthouse", "walk"]
    begun = time.monotonic()
    with tempfile.TemporaryDirectory() as folder, demo(Path(folder)) as base:
        where, sessions = paths(), cookies()
        walked = [_told(it) for it in walk(base, where, sessions)] if "walk" in what else []
        grades = graded(base, where, sessions) if "lighthouse" in what else []
        text = sheet(grades, walked, minutes=(time.monotonic() - begun) / 60)
    if "--write" in words:
        PAGE.write_text(text + "\n", encoding="utf-8")
    else:
        print(text)
    below = any(one.grades[category] < aim for one in grades for category, aim in AIMS.items())
    return int(below or any(it.axe or it.keys for it in walked))


def _told(it: Walked) -> Walked:
    print(it.name, *it.axe, *it.keys, sep="\n  ", flush=True)
    return it


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
