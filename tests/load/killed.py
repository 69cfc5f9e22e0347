"""Processes killed in the middle of pushes: what was told as stored is there, and once."""

from __future__ import annotations

import asyncio
from collections import Counter
from collections.abc import Callable
from typing import Any

from asgiref.sync import sync_to_async
from django.db import connection, connections

from .club import seats_make
from .databases import Postgres, Sqlite
from .phones import Phone, all_hand_in, phone_make
from .rows import Row
from .site import Site
from .stored import stored_check, told_check

PATIENCE_S = 120.0
BETWEEN_S = 0.7


def kills_try(world: Any, site: Site, database: Sqlite | Postgres, *, short: bool) -> list[Row]:
    """One web process, all of them, and the database: each several times while phones push."""
    kills = 2 if short else 6
    rows = [
        _kill_try(world, site, "a web process killed (-9)", site.kill_one, kills, database.name),
        _kill_try(
            world,
            site,
            "all web processes killed, started again",
            _again(site),
            kills,
            database.name,
        ),
    ]
    if isinstance(database, Postgres):
        words = "PostgreSQL killed with all its backends, started again"
        rows.append(_kill_try(world, site, words, _again(database), kills, database.name))
    return rows


def _again(what: Site | Postgres) -> Callable[[], object]:
    def kill_and_start() -> None:
        what.kill()
        what.start()

    return kill_and_start


def _kill_try(
    world: Any, site: Site, words: str, kill: Callable[[], object], kills: int, on: str
) -> Row:
    seats = seats_make(world, phones=40, since=_next_number(world))
    phones = [phone_make(seat, facts=200, batch=10) for seat in seats]
    found: list[str] = []
    done: list[int] = []

    def kill_and_look() -> None:
        kill()
        connections.close_all()
        found.append(told_check(phones))

    async def killer(through: asyncio.Event) -> None:
        while len(done) < kills and not through.is_set():
            await asyncio.sleep(BETWEEN_S)
            if through.is_set():
                return
            await sync_to_async(kill_and_look, thread_sensitive=False)()
            done.append(1)

    asyncio.run(all_hand_in(site.port, phones, patience_s=PATIENCE_S, beside=[killer]))
    connection.close()
    wrong = next(filter(None, found), "") or stored_check(phones)
    told = Counter(status for phone in phones for status, _seconds in phone.answers)
    said = ", ".join(f"{n} × {status or 'none'}" for status, n in sorted(told.items()))
    return Row(
        words,
        on,
        wrong or f"{len(done)} kills, {_facts(phones):,} facts: all there, none twice ({said})",
        "what was told as stored is there; the rest comes with the next push",
        not wrong and bool(done),
    )


def _facts(phones: list[Phone]) -> int:
    return sum(len(part) for phone in phones for part in phone.ids)


def _next_number(world: Any) -> int:
    return int(world.club.matches.count())
