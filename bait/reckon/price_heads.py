"""The columns of a price list, by the names of their heads."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Final

from bait.reckon.order.parse import MOST_BREAKS
from matches.reckon.cells import MOST_COLUMNS
from matches.reckon.reading import Reading

NEEDED: Final = ("bait", "amount", "unit", "price")
BREAK: Final = ("from_packs", "break_price")


@dataclass(frozen=True, slots=True)
class Columns:
    """Which cell is what; `names` are the heads as the file writes them, for saying where."""

    at: Mapping[str, int]
    names: tuple[str, ...]
    breaks: tuple[tuple[str, str], ...]


def columns_read(reading: Reading, row: int, cells: list[str]) -> Columns:
    """The columns that the heads in `cells` name; what is wrong with them is noted."""
    at: dict[str, int] = {}
    if len(cells) > MOST_COLUMNS:
        reading.fault((row,), f"The list has more than {MOST_COLUMNS} columns: leave some out.")
        reading.finish()
    for n, name in enumerate(cells):
        known = re.sub(r"[\s-]+", "_", name.casefold())
        where = (row, name or n + 1)
        if known in at:
            reading.fault(where, "This column is there twice: leave one out.")
        elif known in (*NEEDED, "max_packs") or known in BREAK_COLUMNS:
            at[known] = n
        elif name or n < len(cells) - 1:
            reading.fault(
                where,
                "This column is not known. Use bait, amount, unit, price, from_packs, "
                "break_price, max_packs, and from_packs_2 with break_price_2 for a further break.",
            )
    for name in NEEDED:
        if name not in at:
            reading.fault((row, name), "This column is missing: add it.")
    pairs = [pair for pair in break_pairs() if pair[0] in at or pair[1] in at]
    for first, second in pairs:
        for name, other in ((first, second), (second, first)):
            if name not in at:
                reading.fault((row, name), f"This column is missing beside “{other}”: add it.")
    return Columns(at=at, names=tuple(cells), breaks=tuple(pairs))


def break_pairs() -> Iterator[tuple[str, str]]:
    """The two columns of each break: from so many packs, and the price from there on."""
    for n in range(1, MOST_BREAKS + 1):
        end = "" if n == 1 else f"_{n}"
        yield BREAK[0] + end, BREAK[1] + end


BREAK_COLUMNS: Final = frozenset(name for pair in break_pairs() for name in pair)
