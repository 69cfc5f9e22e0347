"""Many phones in one thread: each hands in its facts and does what the app does with an answer."""

from __future__ import annotations

import asyncio
import gzip
import json
import random
import uuid
from collections.abc import Awaitable, Callable, Sequence
from dataclasses import dataclass, field
from time import perf_counter
from typing import Any

from django.conf import settings

from .club import Seat

TIME_LIMIT_S = 30.0  # as the app's own
TOLD = {"accepted", "duplicate", "disagrees", "waiting"}
TOKEN = "t" * 32


@dataclass(slots=True)
class Phone:
    """One phone's outbox in batches, and what it was told.

    `answers`: (status, seconds) of each push; status 0 is no answer at all. `problems`: the kinds
    of problem that it was refused with, "" for a refusal without one.
    """

    seat: Seat
    batches: list[bytes]
    ids: list[list[str]]
    answers: list[tuple[int, float]] = field(default_factory=list)
    stored: set[str] = field(default_factory=set)
    strange: list[str] = field(default_factory=list)
    problems: set[str] = field(default_factory=set)
    done_s: float = 0.0


def phone_make(seat: Seat, *, facts: int, batch: int) -> Phone:
    """A phone with `facts` of one angler's day, a weigh-in last, in batches as it sends them."""
    device = uuid.uuid4()
    day = [_fact(seat, device, n, last=n == facts) for n in range(1, facts + 1)]
    parts = [day[at : at + batch] for at in range(0, facts, batch)]
    bodies = [
        gzip.compress(
            json.dumps(
                {"protocol": 1, "device": str(device), "app": "load", "facts": part},
                separators=(",", ":"),
            ).encode(),
            compresslevel=6,
        )
        for part in parts
    ]
    return Phone(seat, bodies, [[fact["id"] for fact in part] for part in parts])


def _fact(seat: Seat, device: uuid.UUID, n: int, *, last: bool) -> dict[str, Any]:
    kind, body = _what(n, last=last)
    return {
        "id": str(uuid.uuid4()),
        "device": str(device),
        "seq": n,
        "kind": kind,
        "match": str(seat.match),
        "peg": seat.peg,
        "recorded_at": f"2026-06-20T{9 + n // 60 % 5:02d}:{n % 60:02d}:11.250Z",
        "clock_offset_ms": -850,
        "supersedes": None,
        "body": body,
    }


def _what(n: int, *, last: bool) -> tuple[str, dict[str, Any]]:
    """Mostly feed, then fish, line switches, a depth now and then, and a weight at the end."""
    if last:
        return "weigh_in", {"net": 1, "weight": 4_000 + n, "unit": "g", "witness": None}
    if n % 40 == 0:
        return "peg_note", {"depth_cm": 150 + n % 60}
    if n % 8 == 0:
        return "line_note", {"line": "long"}
    if n % 3 == 0:
        return "fish_note", {"species": "Roach", "count": 1, "about": 90, "line": "long"}
    return "feed_note", {"bait": "caster", "amount": "0.25", "unit": "pint", "line": "long"}


async def hand_in(port: int, phone: Phone, *, chance: random.Random, patience_s: float) -> None:
    """Batch after batch until each is stored, waiting as the app waits (`backoff.js`)."""
    began, failures = perf_counter(), 0
    for body, ids in zip(phone.batches, phone.ids, strict=True):
        while perf_counter() - began < patience_s:
            status, asked = await _push_told(port, phone, body)
            if status == 200 and phone.stored.issuperset(ids):
                failures = 0
                break
            failures += 1
            bound = min(8.0 if status == 0 or asked > 2 else 300.0, 2.0 ** min(failures, 9))
            await asyncio.sleep(max(1.0, asked) + chance.random() * bound)
    phone.done_s = perf_counter() - began


async def push_once(port: int, phone: Phone, number: int) -> bool:
    """One of its batches; whether all of it is stored now."""
    await _push_told(port, phone, phone.batches[number])
    return phone.stored.issuperset(phone.ids[number])


async def _push_told(port: int, phone: Phone, body: bytes) -> tuple[int, float]:
    """Status and Retry-After; what it was told is the phone's."""
    sent = perf_counter()
    try:
        async with asyncio.timeout(TIME_LIMIT_S):
            status, asked, said = await push(port, phone.seat.cookie, body)
    except (OSError, TimeoutError, asyncio.IncompleteReadError):
        status, asked, said = 0, 0.0, None
    phone.answers.append((status, perf_counter() - sent))
    if status >= 400:
        phone.problems.add((said or {}).get("type", ""))
    if status == 200 and said is not None:
        _take_in(phone, said)
    return status, asked


def _take_in(phone: Phone, said: dict[str, Any]) -> None:
    for one in said["outcomes"]:
        if one["outcome"] in TOLD:
            phone.stored.add(one["id"])
        elif one["outcome"] != "later":
            phone.strange.append(json.dumps(one)[:300])


async def push(port: int, cookie: str, body: bytes) -> tuple[int, float, dict[str, Any] | None]:
    """Status, Retry-After and what the answer says, where that is JSON."""
    head = (
        "POST /api/v1/sync/facts HTTP/1.1\r\nHost: localhost\r\nConnection: close\r\n"
        f"Content-Type: application/json\r\nContent-Encoding: gzip\r\n"
        f"Content-Length: {len(body)}\r\nX-CSRFToken: {TOKEN}\r\n"
        f"Cookie: {settings.SESSION_COOKIE_NAME}={cookie}; {settings.CSRF_COOKIE_NAME}={TOKEN}\r\n"
        "\r\n"
    )
    return await ask(port, head.encode() + body)


async def ask(port: int, request: bytes) -> tuple[int, float, dict[str, Any] | None]:
    reader, writer = await asyncio.open_connection("127.0.0.1", port)
    try:
        writer.write(request)
        await writer.drain()
        head, _, text = (await reader.read(-1)).partition(b"\r\n\r\n")
    finally:
        writer.close()
    if not head:
        raise OSError("closed without an answer")
    lines = head.decode("latin-1").split("\r\n")
    status = int(lines[0].split()[1])
    headers = {k.lower(): v for k, _, v in (line.partition(": ") for line in lines[1:])}
    if len(text) != int(headers.get("content-length", len(text))):
        raise OSError("cut short")
    after = float(headers.get("retry-after") or 0)
    return status, after, json.loads(text) if text[:1] == b"{" else None


async def all_hand_in(
    port: int,
    phones: Sequence[Phone],
    *,
    patience_s: float,
    beside: Sequence[Callable[[asyncio.Event], Awaitable[None]]] = (),
) -> None:
    """Every phone at once; each of `beside` meanwhile, until the event says all are through."""
    through = asyncio.Event()
    others = [asyncio.create_task(work(through)) for work in beside]  # type: ignore[arg-type]
    chances = [random.Random(n) for n in range(len(phones))]
    await asyncio.gather(
        *(
            hand_in(port, phone, chance=chance, patience_s=patience_s)
            for phone, chance in zip(phones, chances, strict=True)
        )
    )
    through.set()
    await asyncio.gather(*others)
