"""A thousand phones come back at once, each with two hundred facts."""

from __future__ import annotations

import asyncio
from collections import Counter
from statistics import median
from time import perf_counter
from typing import Any

from matches.writes.bulletins import bulletin_publish

from .club import seats_make
from .phones import Phone, all_hand_in, ask, phone_make
from .rows import Row, p95
from .site import Site
from .stored import stored_check

PATIENCE_S = 900.0
ANSWERED_S = 5.0


def crowd_try(world: Any, site: Site, *, on: str, short: bool) -> list[Row]:
    phones_count, facts = (200, 50) if short else (1_000, 200)
    seats = seats_make(world, phones=phones_count)
    phones = [phone_make(seat, facts=facts, batch=facts) for seat in seats]
    looks: list[float] = []
    bulletin_publish(world.secretary, match=world.match)
    began = perf_counter()
    asyncio.run(
        all_hand_in(
            site.port,
            phones,
            patience_s=PATIENCE_S,
            beside=[lambda through: _page_look(site.port, through, looks)],
        )
    )
    took = perf_counter() - began
    return [*_rows(phones, on=on, facts=facts, took=took), _page_row(looks, on=on)]


async def _page_look(port: int, through: asyncio.Event, looks: list[float]) -> None:
    """Somebody reads the club's public page every half second meanwhile."""
    request = b"GET /board/otterbeck/ HTTP/1.1\r\nHost: localhost\r\nConnection: close\r\n\r\n"
    while not through.is_set():
        began = perf_counter()
        status, _after, _said = await ask(port, request)
        looks.append(perf_counter() - began if status == 200 else float("inf"))
        await asyncio.sleep(0.5)


def _rows(phones: list[Phone], *, on: str, facts: int, took: float) -> list[Row]:
    answers = [answer for phone in phones for answer in phone.answers]
    waits = [seconds for _status, seconds in answers]
    stored = [seconds for status, seconds in answers if status == 200]
    told = Counter(status for status, _seconds in answers)
    said = ", ".join(f"{n} × {status or 'none'}" for status, n in sorted(told.items()))
    wrong = stored_check(phones)
    through = [phone.done_s for phone in phones]
    name = f"{len(phones):,} phones at once, {facts} facts each"
    return [
        Row(
            f"{name}: each push answered",
            on,
            f"median {median(waits):.2f} s, p95 {p95(waits):.2f} s, most {max(waits):.2f} s;"
            f" those that stored p95 {p95(stored):.2f} s",
            f"p95 under {ANSWERED_S:.0f} s",
            p95(waits) < ANSWERED_S and p95(stored) < ANSWERED_S,
        ),
        Row(f"{name}: answers", on, said, "no 5xx, none missing", not set(told) - {200, 429}),
        Row(
            f"{name}: all in once",
            on,
            wrong
            or f"{len(phones) * facts:,} facts in {took:.0f} s"
            f" ({len(phones) * facts / took:,.0f} a second); a phone had all in after"
            f" {median(through):.0f} s (median), {p95(through):.0f} s (p95)",
            "none lost, none twice, counter without a hole",
            not wrong,
        ),
    ]


def _page_row(looks: list[float], *, on: str) -> Row:
    return Row(
        "a public page meanwhile",
        on,
        f"p95 {p95(looks):.2f} s of {len(looks)} looks",
        f"p95 under {ANSWERED_S:.0f} s",
        p95(looks) < ANSWERED_S,
    )
