"""Ids for facts made here: UUIDs of version 7."""

from __future__ import annotations

import secrets
import time
from uuid import UUID


def uuid7_new(*, unix_ms: int | None = None, random_bits: int | None = None) -> UUID:
    """A version 7 UUID (RFC 9562, section 5.7): 48 bits of milliseconds, 74 of chance.

    The time in it is never read: it only keeps an index in about the order of making.
    """
    ms = time.time_ns() // 1_000_000 if unix_ms is None else unix_ms
    chance = secrets.randbits(74) if random_bits is None else random_bits
    high, low = chance >> 62, chance & (2**62 - 1)
    return UUID(int=(ms & (2**48 - 1)) << 80 | 7 << 76 | high << 64 | 0b10 << 62 | low)
