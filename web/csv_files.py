"""Lists that people open in a spreadsheet."""

from __future__ import annotations

import csv
from collections.abc import Iterable
from typing import Any, Final

from django.http import HttpResponse

#: What a spreadsheet takes for a formula, also after the full-width signs some type.
FORMULA_STARTS: Final = ("=", "+", "-", "@", "\t", "\r", "\n", "＝", "＋", "－", "＠")


def csv_file(rows: Iterable[Iterable[Any]], *, disposition: str) -> HttpResponse:
    """The rows as a file (RFC 4180) of UTF-8 with a mark, so that spreadsheets read names right;
    none of its cells is run. `disposition` is the header that names the file."""
    response = HttpResponse("\ufeff", content_type="text/csv; charset=utf-8")
    response["Content-Disposition"] = disposition
    csv.writer(response).writerows([cell_safe(cell) for cell in row] for row in rows)
    return response


def cell_safe(value: Any) -> str:
    """A cell no spreadsheet runs: a quote goes before what it would take for a formula."""
    text = "" if value is None else str(value)
    return f"'{text}" if text.lstrip(" ").startswith(FORMULA_STARTS) else text
