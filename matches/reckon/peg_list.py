"""Pegs as a file of cells (CSV), one row a peg, downstream: read strictly, and written."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from decimal import Decimal
from typing import Final

from .cells import MOST_COLUMNS, MOST_ROWS, cell_rows, cells_separator
from .decimals import decimal_plain
from .peg_fields import (
    COLUMNS,
    PLACE,
    PegLine,
    PegValue,
    file_refuse,
    peg_line_read,
    repeats_note,
)
from .reading import Reading

# What a spreadsheet takes for a formula, and the quote that keeps it from doing so.
_FORMULA: Final = re.compile(r"'*\s*[=+\-@＝＋－＠\t\r\n]")


def peg_list_parse(text: str) -> tuple[PegLine, ...]:
    """The pegs of a file, downstream. Raises BadInput with every fault, each pointing at
    "/row/column": then nothing of the file is to be used."""
    reading = Reading()
    separator = cells_separator(text)
    rows = cell_rows(reading, text, separator=separator)
    reading.finish()
    if not rows:
        raise file_refuse("The file is empty: choose the one with the pegs.")
    (head_row, head), *rest = rows
    columns = _columns(reading, head_row, head)
    reading.finish()
    if not rest:
        raise file_refuse("Below the names of the columns there is no peg: add a row for each.")
    if len(rest) > MOST_ROWS:
        raise file_refuse(f"The file has more than {MOST_ROWS:,} rows: send it in parts.")
    lines = [
        _line(reading, row, cells, columns=columns, names=head, comma=separator == ";")
        for row, cells in rest
    ]
    repeats_note(reading, lines, what="row")
    reading.finish()
    return tuple(line for line in lines if line is not None)


def _columns(reading: Reading, row: int, names: list[str]) -> dict[str, int]:
    at: dict[str, int] = {}
    if len(names) > MOST_COLUMNS:
        reading.fault((row,), f"The file has more than {MOST_COLUMNS} columns: leave some out.")
        return at
    for n, name in enumerate(names):
        known = re.sub(r"[\s-]+", "_", name.casefold())
        if known in at:
            reading.fault((row, name), "This column is there twice: leave one out.")
        elif known in COLUMNS:
            at[known] = n
        elif name or n < len(names) - 1:
            reading.fault(
                (row, name or n + 1), f"This column is not known. Use {', '.join(COLUMNS)}."
            )
    needed = ["number", *(PLACE if set(PLACE) & set(at) else ())]
    for name in needed:
        if name not in at:
            reading.fault((row, name), "This column is missing: add it.")
    return at


def _line(
    reading: Reading,
    row: int,
    cells: list[str],
    *,
    columns: Mapping[str, int],
    names: list[str],
    comma: bool,
) -> PegLine | None:
    for n in range(len(names), len(cells)):
        if cells[n]:
            reading.fault((row, n + 1), "This cell has no column: take it out.")
    texts = {name: cells[n] if n < len(cells) else "" for name, n in columns.items()}
    if comma:
        texts.update({name: texts[name].replace(",", ".", 1) for name in PLACE if name in texts})
    if "notes" in texts:
        texts["notes"] = _unguarded(texts["notes"])
    where = {name: (row, names[n]) for name, n in columns.items()}
    return peg_line_read(reading, texts, row=row, where=where)


def peg_list_rows(lines: Iterable[PegLine]) -> list[list[str]]:
    """The cells of a file with these pegs, names of columns first: `peg_list_parse` reads the same
    pegs from it, and no spreadsheet runs a cell of it."""
    return [list(COLUMNS), *(_cells(line) for line in lines)]


def _cells(line: PegLine) -> list[str]:
    texts = {name: peg_value_text(value) for name, value in line.values.items()}
    texts["notes"] = _guarded(texts.get("notes", ""))
    return [line.number, *(texts.get(name, "") for name in COLUMNS[1:])]


def peg_value_text(value: PegValue) -> str:
    """A value as a file writes it."""
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, Decimal):
        return decimal_plain(value)
    return "" if value is None else str(value)


def _guarded(text: str) -> str:
    return f"'{text}" if _FORMULA.match(text) else text


def _unguarded(text: str) -> str:
    return text[1:] if text.startswith("'") and _FORMULA.match(text) else text
