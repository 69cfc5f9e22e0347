"""Load, faults and bad input, tried for real: `python -m tests.load [--short] [--write]`.

Each database has a process of its own with a site of its own. What came out is printed as a table;
`--write` puts it into `web/docs/load.md`, `--add` only rows anew of
what was tried now. The exit code is 1 when anything missed its aim.
"""

from __future__ import annotations

import argparse
import os
import subprocess
import sys
import tempfile
from pathlib import Path

from .databases import DATABASES, ROOT
from .page import page_write, rows_add
from .races import races_try
from .rows import Row, row_read, table
from .trials import FULL, WITHIN

SERVED = ("crowd", "kills")
RACES = "races"
TRIALS = (*SERVED, FULL, *WITHIN, RACES)


def main() -> int:
    given = _given()
    rows: list[Row] = []
    for database in given.on:
        for trials in (SERVED, WITHIN):
            if wanted := [name for name in trials if name in given.only]:
                rows += _run(database, wanted, short=given.short)
        if FULL in given.only and database == "postgres":  # SQLite's is among the races
            rows += _run(database, [FULL], short=given.short)
        if RACES in given.only:
            rows += races_try(DATABASES[database].name)
    print(table(rows))
    if given.write:
        page_write(rows)
    elif given.add:
        rows_add(rows)
    return 0 if rows and all(row.good for row in rows) else 1


def _given() -> argparse.Namespace:
    parser = argparse.ArgumentParser(prog="python -m tests.load", description=__doc__)
    parser.add_argument("--short", action="store_true", help="a few minutes, not half an hour")
    parser.add_argument("--write", action="store_true", help="write web/docs/load.md")
    parser.add_argument("--add", action="store_true", help="put these rows into web/docs/load.md")
    parser.add_argument("--on", nargs="+", choices=DATABASES, default=DATABASES)
    parser.add_argument("--only", nargs="+", choices=TRIALS, default=TRIALS)
    return parser.parse_args()


def _run(database: str, wanted: list[str], *, short: bool) -> list[Row]:
    """The trials on one database, in a process of its own: Django is set up once in each."""
    with tempfile.TemporaryDirectory(prefix="drawbag-load-", ignore_cleanup_errors=True) as folder:
        out = Path(folder) / "rows"
        words = [database, folder, str(out), "short" if short else "whole", *wanted]
        environment = {
            k: v for k, v in os.environ.items() if k not in ("DATABASE_URL", "BROKER_URL")
        }
        environment |= {
            "DJANGO_SETTINGS_MODULE": "web.settings",
            "VAR_DIR": folder,
            "PYTHONPATH": str(ROOT),
        }
        code = subprocess.run(
            [sys.executable, "-m", "tests.load.trials", *words], cwd=ROOT, env=environment
        ).returncode
        rows = [row_read(line) for line in out.read_text().splitlines()] if out.exists() else []
    if code:
        rows.append(Row("the trials ran to their end", database, f"exit code {code}", "0", False))
    return rows


if __name__ == "__main__":
    sys.exit(main())
