"""The trials on one database. Run by `python -m tests.load`, which sets its environment."""

from __future__ import annotations

import logging
import os
import sys
from collections.abc import Callable
from contextlib import ExitStack
from pathlib import Path
from time import perf_counter
from typing import Any

from .databases import DATABASES
from .rows import Row
from .small import SmallPostgres

WITHIN = ("asked", "sent")
FULL = "full"


def main(words: list[str]) -> None:
    database_word, folder, out, length, *only = words
    make = SmallPostgres if FULL in only else DATABASES[database_word]
    database = make(Path(folder))
    os.environ |= database.environment
    with ExitStack() as running:
        running.callback(database.stop)
        database.start()
        for name, trial in _trials(database, only, length == "short").items():
            if name not in only:
                continue
            began = perf_counter()
            rows = trial()
            print(f"{database.name}: {name} took {perf_counter() - began:.0f} s", file=sys.stderr)
            with Path(out).open("a") as file:
                file.writelines(row.as_line() + "\n" for row in rows)


def _set_up() -> None:
    import django

    django.setup()
    from django.core.management import call_command

    logging.disable(logging.CRITICAL)  # a line for each request that is refused
    call_command("migrate", verbosity=0)


def _trials(database: Any, only: list[str], short: bool) -> dict[str, Callable[[], list[Row]]]:
    """What is to be tried, by name: with a site and phones, or within this process."""
    _set_up()
    if set(only) & set(WITHIN):
        return _within(database, short)
    return _served(database, short)


def _served(database: Any, short: bool) -> dict[str, Callable[[], list[Row]]]:
    from tests.conftest import make_world

    from .crowd import crowd_try
    from .full import full_try
    from .killed import kills_try
    from .site import Site

    world = make_world()

    def served(trial: Callable[[Site], list[Row]]) -> Callable[[], list[Row]]:
        def run() -> list[Row]:
            site = Site(database.folder)
            site.start()
            try:
                return trial(site)
            finally:
                site.stop()

        return run

    return {
        "crowd": served(lambda site: crowd_try(world, site, on=database.name, short=short)),
        FULL: served(lambda site: full_try(world, site, database)),
        "kills": served(lambda site: kills_try(world, site, database, short=short)),
    }


def _within(database: Any, short: bool) -> dict[str, Callable[[], list[Row]]]:
    from tests.rights_rows import rows_make

    from .asked import asked_try
    from .sent import sent_try

    rows = rows_make()
    return {
        "asked": lambda: asked_try(rows, on=database.name, short=short),
        "sent": lambda: sent_try(rows, on=database.name, short=short),
    }


if __name__ == "__main__":
    main(sys.argv[1:])
