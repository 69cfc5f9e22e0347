"""The order in which the scales go along the bank."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Stop:
    """A peg in bank order; `side` is its bank, "" where there is one; `waits`: to weigh yet."""

    peg: str
    side: str
    waits: bool


def walk(stops: Sequence[Stop], *, after: str | None) -> list[str]:
    """The pegs still to weigh in walking order: on from the peg weighed last (`after`), then what
    was passed by on that bank, then the other bank in bank order. Without one, from the first peg.
    """
    at = next((n for n, stop in enumerate(stops) if stop.peg == after), -1)
    side = stops[at].side if at >= 0 else (stops[0].side if stops else "")

    def turn(numbered: tuple[int, Stop]) -> tuple[bool, bool, int]:
        n, stop = numbered
        here = stop.side == side
        return (not here, here and n <= at, n)

    return [stop.peg for _, stop in sorted(enumerate(stops), key=turn) if stop.waits]
