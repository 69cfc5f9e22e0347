"""What an import would do, row by row, before anything is written."""

from __future__ import annotations

import hashlib
import json
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property
from typing import Any

from bait.reads.price_lists import ListCompared
from matches.reads.peg_files import PegsCompared
from matches.reckon.cells import fault_place
from matches.reckon.errors import Fault, pointer
from matches.reckon.reading import Reading
from matches.reckon.sheets import MappedRow

#: What becomes of a row, in the order they are shown: what stops the import first.
WHATS = ("refused", "changed", "new", "back", "same")


@dataclass(frozen=True, slots=True)
class RowSeen:
    """One row of the file: what becomes of it, whom or what it is of, which values differ (words
    of the column, before, after), and why it is refused (column, sentence)."""

    row: int
    what: str
    name: str
    differs: tuple[tuple[str, str, str], ...] = ()
    faults: tuple[tuple[str, str], ...] = ()


@dataclass(frozen=True)
class Look:
    """Every row, what else is to be known first (`notes`), faults of the file as a whole, and the
    lines that are written if it is pressed. `moved`: something changes beside the rows."""

    rows: tuple[RowSeen, ...]
    lines: tuple[Any, ...]
    notes: tuple[str, ...] = ()
    faults: tuple[str, ...] = ()
    moved: bool = False

    def of(self, what: str) -> list[RowSeen]:
        return [row for row in self.rows if row.what == what]

    @cached_property
    def counts(self) -> dict[str, int]:
        return {what: len(self.of(what)) for what in WHATS}

    @property
    def readable(self) -> bool:
        """Whether nothing is refused: only then anything is written."""
        return not self.counts["refused"] and not self.faults

    @property
    def changes(self) -> bool:
        """Whether there is anything to write."""
        return self.moved or any(self.counts[what] for what in ("changed", "new", "back"))

    @cached_property
    def digest(self) -> str:
        """What tells this look from any other: a press says which one it saw."""
        said = [(r.row, r.what, r.name, r.differs, r.faults) for r in self.rows]
        body = json.dumps([said, self.notes, self.faults, self.moved], ensure_ascii=False)
        return hashlib.sha256(body.encode()).hexdigest()


def rows_sorted(compared: PegsCompared | ListCompared) -> Iterator[tuple[str, Any]]:
    """Every row that was compared, with what becomes of it."""
    for what in ("new", "changed", "back", "same"):
        for one in getattr(compared, what):
            yield what, one


def rows_seen(
    rows: Sequence[MappedRow],
    told: Mapping[int, RowSeen],
    *,
    reading: Reading,
    name: str,
) -> tuple[RowSeen, ...]:
    """Every row of the file as it was `told`, or refused for what `reading` noted of it; then it is
    named by what stands in the column `name`."""
    faults: dict[str, list[tuple[str, str]]] = {}
    for fault in reading.faults:
        row, column = fault_place(fault)
        faults.setdefault(row, []).append((column, fault.message))
    return tuple(
        RowSeen(row.number, "refused", row.text(name), faults=tuple(faults[str(row.number)]))
        if str(row.number) in faults
        else told.get(row.number, RowSeen(row.number, "refused", row.text(name)))
        for row in rows
    )


def look_faults(look: Look) -> tuple[Fault, ...]:
    """All that is refused, with pointers "/row/column"."""
    return (
        *(Fault("", sentence) for sentence in look.faults),
        *(
            Fault(pointer(row.row, column), sentence)
            for row in look.of("refused")
            for column, sentence in row.faults
        ),
    )
