"""What a file is, by its first bytes and never by its name: its cells, or a refusal in words."""

from __future__ import annotations

from typing import Final

from .csv_sheet import csv_sheet
from .sheet import MOST_BYTES, Sheet, file_refused
from .xlsx_sheet import xlsx_sheet

#: Signatures of what is often chosen by mistake, and what to do then.
_NOT_READ: Final = (
    (b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1", "This is a workbook of the old kind (XLS), or one locked "
     "with a password: save it as XLSX without a password, or as “CSV UTF-8”."),
    (b"%PDF", "This is a PDF, made for reading: export the table itself as XLSX or CSV."),
    (b"\x1f\x8b", "This file is packed (gzip), whatever its name says: unpack it first."),
    (b"\x89PNG", "This is a picture: export the table itself as XLSX or CSV."),
    (b"\xff\xd8\xff", "This is a picture: export the table itself as XLSX or CSV."),
    (b"{\\rtf", "This is a document of text (RTF): export the table itself as XLSX or CSV."),
)  # fmt: skip


def sheet_read(raw: bytes) -> Sheet:
    """The cells of a file, CSV or XLSX. Raises BadInput: anything else, anything damaged, anything
    too large; its faults point at "/row/column", or at "" for the whole file."""
    if len(raw) > MOST_BYTES:
        raise file_refused(f"The file is larger than {MOST_BYTES >> 20} MiB: send it in parts.")
    if not raw.strip():
        raise file_refused("The file is empty: choose another.")
    for signature, sentence in _NOT_READ:
        if raw.startswith(signature):
            raise file_refused(sentence)
    if raw.startswith(b"PK"):
        return xlsx_sheet(raw)
    if raw.lstrip(b"\xef\xbb\xbf \t\r\n").startswith(b"<"):
        raise file_refused("This is a web page or XML: export the table as XLSX or CSV.")
    return csv_sheet(raw)
