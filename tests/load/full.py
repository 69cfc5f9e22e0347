"""PostgreSQL's disk full while phones push: refused in words, nothing lost, all in once there is
room. The tables' disk by itself, and that of its log, without which it cannot run at all."""

from __future__ import annotations

import asyncio
from collections import Counter
from typing import Any

from django.db import connection, connections

from .club import seats_make
from .phones import Phone, phone_make, push_once
from .rows import Row
from .site import Site
from .small import Disk, SmallPostgres
from .stored import stored_check, told_check

PHONES, FACTS, BATCH = 8, 500, 50
REFUSED = 5  # pushes one after another before there is room again
BUSY = {"/problems/busy"}


def full_try(world: Any, site: Site, database: SmallPostgres) -> list[Row]:
    """Each disk full in its turn."""
    return [
        _one_try(world, site, database, database.tables, "a full disk under the tables"),
        _one_try(world, site, database, database.log, "a full disk under the write-ahead log"),
    ]


def _one_try(world: Any, site: Site, database: SmallPostgres, disk: Disk, words: str) -> Row:
    seats = seats_make(world, phones=PHONES, since=world.club.matches.count())
    phones = [phone_make(seat, facts=FACTS, batch=BATCH) for seat in seats]
    with connection.cursor() as cursor:
        cursor.execute("CHECKPOINT")  # what was dropped gives its room back now, not meanwhile
    disk.fill()
    _push_until_refused(site, phones)
    before = sum(len(phone.stored) for phone in phones)
    wrong = _room_make(database, disk, phones)
    _push_rest(site, phones)
    told = Counter(status for phone in phones for status, _seconds in phone.answers)
    said = ", ".join(f"{n} × {status or 'none'}" for status, n in sorted(told.items()))
    kinds = set().union(*(phone.problems for phone in phones))
    if not wrong and kinds != BUSY:
        wrong = f"refused as {', '.join(map(repr, sorted(kinds))) or 'nothing'} ({said})"
    wrong = wrong or stored_check(phones)
    connections.close_all()
    return Row(
        words,
        database.name,
        wrong or f"{before:,} facts in before, {PHONES * FACTS:,} after, none twice ({said})",
        "refused in words; what was told as stored is there; the rest comes once there is room",
        not wrong and told[503] >= REFUSED,
    )


def _push_until_refused(site: Site, phones: list[Phone]) -> None:
    """Batch after batch of one phone after another, the same again when it was refused."""
    refused = 0
    for phone in phones:
        for number in range(len(phone.batches)):
            while refused < REFUSED and not asyncio.run(push_once(site.port, phone, number)):
                refused += 1
            if refused == REFUSED:
                return


def _push_rest(site: Site, phones: list[Phone]) -> None:
    """All of each, also what is in: it is told as there already."""
    for phone in phones:
        for number in range(len(phone.batches)):
            asyncio.run(push_once(site.port, phone, number))


def _room_make(database: SmallPostgres, disk: Disk, phones: list[Phone]) -> str:
    """Under the tables it goes on by itself, under its log it stopped, and whoever runs it starts
    it anew. What is missing, in words. While the disk is full PostgreSQL may let nobody in anew
    who only reads either, so it is asked now."""
    connections.close_all()
    disk.empty()
    if not database.answers():
        database.kill()
        database.start()
    return told_check(phones)
