"""A file of cells parted by commas, semicolons or tabs (RFC 4180, and what people make of it)."""

from __future__ import annotations

import csv
import io
import re
from collections.abc import Iterator
from typing import Final

from .sheet import Sheet, SheetRow, cells_trimmed, file_refused, sheet_made

SEPARATORS: Final = (",", ";", "\t")
OLD_TEXT: Final = (
    "The file is not UTF-8: it is read as Windows-1252. Look whether letters with accents, dashes "
    "and signs of money are right."
)


def csv_sheet(raw: bytes) -> Sheet:
    """The rows of a file; see `sheet_made` for limits. Raises BadInput."""
    text, notes = _decoded(raw)
    return sheet_made(_rows(text, separator=separator_of(text)), notes=notes)


def _decoded(raw: bytes) -> tuple[str, list[str]]:
    if raw.startswith((b"\xff\xfe", b"\xfe\xff")) or b"\0" in raw:
        raise file_refused(
            "This is not plain text (UTF-16, it seems): save it as “CSV UTF-8” and choose it again."
        )
    try:
        return raw.decode("utf-8-sig"), []
    except UnicodeDecodeError:
        pass
    try:
        return raw.decode("cp1252"), [OLD_TEXT]
    except UnicodeDecodeError as error:
        raise file_refused(
            "This is neither UTF-8 nor Windows-1252: save it as “CSV UTF-8” and choose it again."
        ) from error


def separator_of(text: str) -> str:
    """What parts the columns: whichever of comma, semicolon and tab there is most of, outside of
    quotes, in the first line that holds anything; a comma where there is none."""
    bare = re.sub(r'"[^"]*"', "q", text)
    head = next((line for line in bare.splitlines() if line.strip()), "")
    return max(SEPARATORS, key=head.count)


def _rows(text: str, *, separator: str) -> Iterator[SheetRow]:
    number = 0
    try:
        for number, cells in enumerate(
            csv.reader(io.StringIO(text, newline=""), delimiter=separator, strict=True), 1
        ):
            trimmed = cells_trimmed(cells)
            if trimmed:
                yield SheetRow(number, trimmed)
    except csv.Error as error:
        raise file_refused(
            "The quotation marks of this row do not match, or a cell of it is far too long: "
            "mend it.",
            number + 1,
        ) from error
