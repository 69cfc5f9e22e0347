"""What a file of cells comes to, and how large one may be."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import Final

from matches.reckon.cells import MOST_COLUMNS
from matches.reckon.errors import BadInput, Fault, pointer

MOST_BYTES: Final = 2 * 1024 * 1024
#: Of a workbook, which is packed: all its parts together once unpacked.
MOST_UNPACKED: Final = 8 * 1024 * 1024
MOST_ROWS: Final = 5_000
CELL_LONGEST: Final = 2_000
#: Tags of XML in all its parts: each takes time to read, and a million of them pack into nothing.
MOST_TAGS: Final = 600_000
#: Cells looked at, empty ones too: a workbook may claim a million of them in few bytes.
MOST_CELLS: Final = 150_000


@dataclass(frozen=True, slots=True)
class SheetRow:
    """One row that holds anything; `number` as a spreadsheet counts, from 1."""

    number: int
    cells: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Sheet:
    """`heads` are the names of the columns as the file writes them, `rows` what stands below.

    `notes` say in words what was taken otherwise than it stands in the file.
    """

    heads: tuple[str, ...]
    rows: tuple[SheetRow, ...]
    notes: tuple[str, ...] = ()


def file_refused(sentence: str, *where: str | int) -> BadInput:
    """A refusal of the whole file, or of what stands at (row, column)."""
    return BadInput(Fault(pointer(*where), sentence))


def sheet_made(rows: Iterable[SheetRow], *, notes: Sequence[str]) -> Sheet:
    """The first row that holds anything has the heads. Raises BadInput where a limit is passed or
    nothing stands below the heads."""
    kept: list[SheetRow] = []
    for row in rows:
        _row_check(row)
        kept.append(row)
        if len(kept) > MOST_ROWS + 1:
            raise file_refused(f"The file has more than {MOST_ROWS:,} rows: send it in parts.")
    if not kept:
        raise file_refused("The file is empty: choose another.")
    head, *rest = kept
    if not rest:
        raise file_refused("Below the names of the columns there is nothing: add a row for each.")
    wide = max(len(row.cells) for row in kept)
    heads = head.cells + ("",) * (wide - len(head.cells))
    return Sheet(heads, tuple(rest), tuple(notes))


def _row_check(row: SheetRow) -> None:
    if len(row.cells) > MOST_COLUMNS:
        raise file_refused(
            f"This row has more than {MOST_COLUMNS} columns: leave some out.", row.number
        )
    for at, cell in enumerate(row.cells, 1):
        if len(cell) > CELL_LONGEST:
            raise file_refused(
                f"This cell holds more than {CELL_LONGEST:,} characters: shorten it.",
                row.number,
                at,
            )


def cells_trimmed(cells: Iterable[str]) -> tuple[str, ...]:
    """Without blanks round each, and without the empty ones at the end."""
    trimmed = [cell.strip() for cell in cells]
    while trimmed and not trimmed[-1]:
        trimmed.pop()
    return tuple(trimmed)
