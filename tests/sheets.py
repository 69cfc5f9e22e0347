"""Files as people and their programs make them, and as nobody should."""

from __future__ import annotations

import io
import zipfile
from collections.abc import Callable, Sequence
from typing import Any

import openpyxl


def xlsx(*rows: Sequence[Any], then: Callable[[Any], None] | None = None) -> bytes:
    """A workbook with these rows; `then` does more to it before it is saved."""
    book = openpyxl.Workbook()
    for row in rows:
        book.active.append(list(row))
    if then:
        then(book)
    out = io.BytesIO()
    book.save(out)
    return out.getvalue()


def repacked(raw: bytes, parts: dict[str, bytes | None], *, packed: bool = True) -> bytes:
    """The same archive with parts put in, replaced or (None) left out."""
    out = io.BytesIO()
    method = zipfile.ZIP_DEFLATED if packed else zipfile.ZIP_STORED
    with zipfile.ZipFile(io.BytesIO(raw)) as old, zipfile.ZipFile(out, "w", method) as new:
        for name in old.namelist():
            if name not in parts:
                new.writestr(name, old.read(name))
        for name, body in parts.items():
            if body is not None:
                new.writestr(name, body)
    return out.getvalue()


def file_of(raw: bytes | str, name: str = "list.csv") -> io.BytesIO:
    """As a browser sends it."""
    sent = io.BytesIO(raw.encode() if isinstance(raw, str) else raw)
    sent.name = name
    return sent
