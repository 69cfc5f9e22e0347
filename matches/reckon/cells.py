"""A file of cells (CSV) as rows: its encoding, what parts its columns, where it breaks off."""

from __future__ import annotations

import csv
import io
import re
from typing import Final

from .errors import BadInput, Fault
from .reading import Reading

MOST_BYTES: Final = 1_048_576
MOST_ROWS: Final = 2_000
MOST_COLUMNS: Final = 100
#: The quote that spreadsheets, and our own exports, write before what would be a formula.
_GUARD: Final = re.compile(r"'(?=\s*[=+\-@＝＋－＠])")


def cells_decode(raw: bytes) -> str:
    """The text of a file in UTF-8, with or without its mark. Raises BadInput for any other."""
    refusal = _refusal(raw)
    if refusal:
        raise BadInput(Fault("", refusal))
    try:
        return raw.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        row, column = _place(raw[: error.start])
        raise BadInput(
            Fault(
                f"/{row}/{column}",
                "This is not UTF-8 from here on: save the file as “CSV UTF-8” and choose it again.",
            )
        ) from error


def _refusal(raw: bytes) -> str:
    if len(raw) > MOST_BYTES:
        return "The file is larger than 1 MiB: send it in parts."
    if not raw.strip():
        return "The file is empty: choose another."
    if raw.startswith(b"PK"):
        return "This is a spreadsheet itself: save it from there as “CSV UTF-8”, and choose that."
    if raw.startswith((b"\xff\xfe", b"\xfe\xff")) or b"\0" in raw:
        return "This is not UTF-8 (UTF-16, it seems): save it as “CSV UTF-8” and choose it again."
    return ""


def guard_off(text: str) -> str:
    """The text without the quote that keeps a spreadsheet from reckoning it."""
    return _GUARD.sub("", text, count=1)


def _place(before: bytes) -> tuple[int, int]:
    """Row and column, from 1, that come after these bytes; line ends inside quotes count too."""
    line = before.rpartition(b"\n")[2]
    cells = max(line.count(b","), line.count(b";"))
    return before.count(b"\n") + 1, cells + 1


def fault_place(fault: Fault) -> tuple[str, str]:
    """The row and the column of a fault as words; empty where it is about the whole file."""
    _, row, column, *_ = [*fault.pointer.split("/"), "", "", ""]
    return row, column.replace("~1", "/").replace("~0", "~")


def cells_separator(text: str) -> str:
    """What parts the columns: whichever of , and ; there is more of in the first row."""
    head = re.sub(r'"[^"]*"', "", text.lstrip().partition("\n")[0])
    if "\t" in head and "," not in head and ";" not in head:
        raise BadInput(
            Fault("/1", "Tabs part the columns: save the file with commas or semicolons.")
        )
    return ";" if head.count(";") > head.count(",") else ","


def cell_rows(reading: Reading, text: str, *, separator: str) -> list[tuple[int, list[str]]]:
    """Rows that hold anything, numbered as a spreadsheet does, their cells trimmed."""
    rows: list[tuple[int, list[str]]] = []
    row = 0
    try:
        for row, cells in enumerate(
            csv.reader(io.StringIO(text, newline=""), delimiter=separator, strict=True), 1
        ):
            trimmed = [cell.strip() for cell in cells]
            if any(trimmed):
                rows.append((row, trimmed))
            if len(rows) > MOST_ROWS + 1:
                break
    except csv.Error:
        reading.fault((row + 1,), "The quotation marks of this row do not match: mend them.")
    return rows
