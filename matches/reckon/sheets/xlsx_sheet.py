"""The first visible sheet of a workbook (XLSX), its cells as the text that a person would type.

Read by openpyxl, with the XML parser of defusedxml, which refuses what entities are declared in.
Formulas are not worked out: a cell has the value that was last saved with it, or is refused.
"""

from __future__ import annotations

import datetime as dt
import io
import warnings
from collections.abc import Iterator
from decimal import Decimal
from typing import Any, Final

import openpyxl
from openpyxl.xml import DEFUSEDXML

from matches.reckon.errors import BadInput

from .columns import column_letter
from .sheet import (
    MOST_CELLS,
    MOST_COLUMNS,
    Sheet,
    SheetRow,
    cells_trimmed,
    file_refused,
    sheet_made,
)
from .xlsx_parts import parts_check

TOLD_MOST: Final = 5


def xlsx_sheet(raw: bytes) -> Sheet:
    """The cells of a workbook. Raises BadInput."""
    if not DEFUSEDXML:
        raise RuntimeError("Workbooks are read with defusedxml only: install it.")
    merged = parts_check(raw)
    try:
        with warnings.catch_warnings():
            warnings.simplefilter("ignore")
            return _sheet(raw, merged=merged)
    except BadInput:
        raise
    except Exception as error:
        raise file_refused(
            "The workbook cannot be read: open it, save it anew as XLSX or as “CSV UTF-8”."
        ) from error


def _sheet(raw: bytes, *, merged: bool) -> Sheet:
    values, formulas = (
        openpyxl.load_workbook(
            io.BytesIO(raw), read_only=True, data_only=data_only, keep_links=False
        )
        for data_only in (True, False)
    )
    seen = [sheet for sheet in values.worksheets if sheet.sheet_state == "visible"]
    if not seen:
        raise file_refused("The workbook has no sheet that is shown: show the one with the table.")
    notes = _sheets_told(seen, [s for s in values.worksheets if s not in seen])
    if merged:
        notes.append("A merged cell is read as one cell, in its first row and column.")
    worked_out: list[str] = []
    made = sheet_made(_rows(seen[0], formulas[seen[0].title], worked_out=worked_out), notes=())
    if worked_out:
        notes.append(
            f"Formulas are read as the value last saved: {', '.join(worked_out[:TOLD_MOST])}"
            + (f" and {len(worked_out) - TOLD_MOST} more." if len(worked_out) > TOLD_MOST else ".")
        )
    return Sheet(made.heads, made.rows, tuple(notes))


def _sheets_told(seen: list[Any], hidden: list[Any]) -> list[str]:
    notes = []
    if len(seen) > 1:
        rest = ", ".join(f"“{sheet.title}”" for sheet in seen[1:])
        notes.append(f"Only the first sheet, “{seen[0].title}”, is read, not {rest}.")
    if hidden:
        rest = ", ".join(f"“{sheet.title}”" for sheet in hidden)
        notes.append(f"Hidden sheets are not read: {rest}.")
    return notes


def _rows(values: Any, formulas: Any, *, worked_out: list[str]) -> Iterator[SheetRow]:
    # What a sheet says of its own size may be wrong: then rows would be missing.
    values.reset_dimensions()
    formulas.reset_dimensions()
    looked_at = 0
    for number, (row, asked) in enumerate(
        zip(values.iter_rows(), formulas.iter_rows(), strict=True), 1
    ):
        looked_at += max(len(row), 1)
        if looked_at > MOST_CELLS:
            raise file_refused("The sheet is far too large: copy the table alone into a new one.")
        if len(row) > MOST_COLUMNS and any(cell.value is not None for cell in row[MOST_COLUMNS:]):
            raise file_refused(
                f"This row has more than {MOST_COLUMNS} columns: leave some out.", number
            )
        cells = []
        for at, (cell, other) in enumerate(
            zip(row[:MOST_COLUMNS], asked[:MOST_COLUMNS], strict=True), 1
        ):
            if other.data_type == "f":
                worked_out.append(f"{column_letter(at)}{number}")
                if cell.value is None:
                    raise file_refused(
                        "This cell holds a formula without a saved value: write the value itself.",
                        number,
                        at,
                    )
            if cell.data_type == "e":
                raise file_refused(f"This cell holds an error ({cell.value}): mend it.", number, at)
            cells.append(cell_text(cell.value))
        trimmed = cells_trimmed(cells)
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
