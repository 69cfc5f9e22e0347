"""The numbers that follow from a seed, and the shuffle made of them."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from hashlib import sha256
from typing import Final, TypeVar

Item = TypeVar("Item")

_RANGE: Final = 2**64


def draw_commitment(seed: bytes) -> str:
    """What is published before the draw: the SHA-256 of the seed's bytes, in hexadecimal."""
    return sha256(seed).hexdigest()


def draw_stream(seed: bytes) -> Iterator[int]:
    """The numbers of a seed without end: for k = 0, 1, … the first 8 bytes of
    SHA-256(seed ‖ k as 8 bytes), all big-endian, so each from 0 to 2⁶⁴ − 1."""
    for k in range(_RANGE):
        yield int.from_bytes(sha256(seed + k.to_bytes(8, "big")).digest()[:8], "big")


def number_below(stream: Iterator[int], *, bound: int) -> int:
    """The next number from 0 to `bound` − 1, each equally likely.

    Numbers in the last, broken run of `bound` are skipped: taking them would favour the small.
    """
    whole_runs = _RANGE // bound * bound
    return next(u for u in stream if u < whole_runs) % bound


def shuffled(items: Iterable[Item], *, stream: Iterator[int]) -> list[Item]:
    """`items` in an order drawn from `stream` (Fisher–Yates, from the end)."""
    out = list(items)
    for i in range(len(out) - 1, 0, -1):
        j = number_below(stream, bound=i + 1)
        out[i], out[j] = out[j], out[i]
    return out
