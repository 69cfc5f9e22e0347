"""The first visible sheet of a workbook (XLSX), its cells as the text that a person would type.

Read by openpyxl, with the XML parser of defusedxml, which refuses what entities are declared in.
Formulas are not worked out: a cell has the value that was last saved with it, or is refused.
"""

from __future__ import annotations

import datetime as dt
import io
import warnings
from collections.abc import Collection, Iterator, Sequence
from decimal import Decimal
from typing import Any, Final

import openpyxl
from openpyxl.xml import DEFUSEDXML

from matches.reckon.cells import MOST_COLUMNS
from matches.reckon.errors import BadInput

from .columns import column_letter
from .sheet import (
    MOST_CELLS,
    Sheet,
    SheetRow,
    cells_trimmed,
    file_refused,
    sheet_made,
)
from .xlsx_parts import PartsSeen, parts_check

TOLD_MOST: Final = 5


def xlsx_sheet(raw: bytes) -> Sheet:
    """The cells of a workbook. Raises BadInput."""
    if not DEFUSEDXML:
        raise RuntimeError("Workbooks are read with defusedxml only: install it.")
    parts = parts_check(raw)
    try:
        with warnings.catch_warnings():
            warnings.simplefilter("ignore")
            return _sheet(raw, parts)
    except BadInput:
        raise
    except Exception as error:
        raise file_refused(
            "The workbook cannot be read: open it, save it anew as XLSX or as “CSV UTF-8”."
        ) from error


def _sheet(raw: bytes, parts: PartsSeen) -> Sheet:
    sheets = _book(raw, values=True).worksheets
    seen = [sheet for sheet in sheets if sheet.sheet_state == "visible"]
    if not seen:
        raise file_refused("The workbook has no sheet that is shown: show the one with the table.")
    notes = _sheets_told(seen, [sheet for sheet in sheets if sheet not in seen])
    if parts.merged:
        notes.append("A merged cell is read as one cell, in its first row and column.")
    formulas = _formulas(raw, title=seen[0].title) if parts.formulas else []
    made = sheet_made(_rows(seen[0], formulas=set(formulas)), notes=())
    if formulas:
        places = [f"{column_letter(at)}{number}" for number, at in formulas[:TOLD_MOST]]
        more = len(formulas) - len(places)
        said = f"Formulas are read as the value last saved: {', '.join(places)}"
        notes.append(f"{said} and {more} more." if more else f"{said}.")
    return Sheet(made.heads, made.rows, tuple(notes))


def _book(raw: bytes, *, values: bool) -> Any:
    """The workbook with the values of its formulas, or with the formulas."""
    return openpyxl.load_workbook(
        io.BytesIO(raw), read_only=True, data_only=values, keep_links=False
    )


def _formulas(raw: bytes, *, title: str) -> list[tuple[int, int]]:
    """Row and column of each cell that holds a formula."""
    return [
        (number, at)
        for number, row in _cell_rows(_book(raw, values=False)[title])
        for at, cell in enumerate(row, 1)
        if cell.data_type == "f"
    ]


def _sheets_told(seen: list[Any], hidden: list[Any]) -> list[str]:
    notes = []
    if len(seen) > 1:
        rest = ", ".join(f"“{sheet.title}”" for sheet in seen[1:])
        notes.append(f"Only the first sheet, “{seen[0].title}”, is read, not {rest}.")
    if hidden:
        rest = ", ".join(f"“{sheet.title}”" for sheet in hidden)
        notes.append(f"Hidden sheets are not read: {rest}.")
    return notes


def _cell_rows(sheet: Any) -> Iterator[tuple[int, Sequence[Any]]]:
    """Every row with its number, as far as a sheet may go."""
    # What a sheet says of its own size may be wrong: then rows would be missing.
    sheet.reset_dimensions()
    looked_at = 0
    for number, row in enumerate(sheet.iter_rows(), 1):
        looked_at += max(len(row), 1)
        if len(row) > MOST_COLUMNS and any(cell.value is not None for cell in row[MOST_COLUMNS:]):
            raise file_refused(
                f"This row has more than {MOST_COLUMNS} columns: leave some out.", number
            )
        if looked_at > MOST_CELLS:
            raise file_refused("The sheet is far too large: copy the table alone into a new one.")
        yield number, row[:MOST_COLUMNS]


def _rows(sheet: Any, *, formulas: Collection[tuple[int, int]]) -> Iterator[SheetRow]:
    for number, row in _cell_rows(sheet):
        for at, cell in enumerate(row, 1):
            if cell.value is None and (number, at) in formulas:
                raise file_refused(
                    "This cell holds a formula without a saved value: write the value itself.",
                    number,
                    at,
                )
            if cell.data_type == "e":
                raise file_refused(f"This cell holds an error ({cell.value}): mend it.", number, at)
        trimmed = cells_trimmed(cell_text(cell.value) for cell in row)
        if trimmed:
            yield SheetRow(number, trimmed)


def cell_text(value: Any) -> str:
    """A cell's value as text: dates as in ISO 8601, numbers without an exponent and with no more
    than the fifteen digits a spreadsheet keeps."""
    match value:
        case None:
            return ""
        case bool():
            return "yes" if value else "no"
        case float():
            return _number_text(value)
        case dt.datetime():
            day = value.date().isoformat()
            return day if value.time() == dt.time() else f"{day} {value:%H:%M}"
        case dt.time():
            return f"{value:%H:%M}"
        case _:
            return str(value)


def _number_text(value: float) -> str:
    if value != value or value in (float("inf"), float("-inf")):
        return str(value)
    text = f"{Decimal(format(value, '.15g')):f}"
    return text.rstrip("0").rstrip(".") if "." in text else text
