"""An archive (ZIP) made while it is sent: never more of it in memory than a few rows."""

from __future__ import annotations

import csv
import io
import json
import zipfile
from collections.abc import Iterable, Iterator, Sequence
from datetime import date, datetime, time
from decimal import Decimal
from itertools import chain
from typing import IO, Any, Final

from matches.reckon.decimals import decimal_plain
from web.csv_files import cell_safe

AT_ONCE: Final = 65_536


class _Sent(io.RawIOBase):
    """What the archive writes, until it is taken to be sent."""

    def __init__(self) -> None:
        self._kept = bytearray()

    def writable(self) -> bool:
        return True

    def write(self, some: Any) -> int:
        self._kept += some
        return len(some)

    def taken(self) -> bytes:
        kept, self._kept = bytes(self._kept), bytearray()
        return kept

    @property
    def waiting(self) -> int:
        return len(self._kept)


def archive_sent(files: Iterable[tuple[str, Iterable[bytes]]]) -> Iterator[bytes]:
    """The bytes of an archive with these files, each (name, its bytes part by part)."""
    out = _Sent()
    with zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED) as archive:
        for name, parts in files:
            with archive.open(name, "w", force_zip64=True) as file:
                yield from _parts_sent(file, parts, out)
    yield out.taken()


def _parts_sent(file: IO[bytes], parts: Iterable[bytes], out: _Sent) -> Iterator[bytes]:
    for part in parts:
        file.write(part)
        if out.waiting > AT_ONCE:
            yield out.taken()


def csv_parts(heads: Sequence[str], rows: Iterable[Sequence[Any]]) -> Iterator[bytes]:
    """A file (RFC 4180) of UTF-8 with a mark, line by line; none of its cells is run."""
    line = io.StringIO()
    writer = csv.writer(line)
    yield b"\xef\xbb\xbf"
    for row in chain([heads], rows):
        writer.writerow([cell_written(cell) for cell in row])
        yield line.getvalue().encode()
        line.seek(0)
        line.truncate()


def cell_written(value: Any) -> str:
    """Yes and no, moments as in ISO 8601, numbers as they are, lists as JSON; of texts none that a
    spreadsheet would run."""
    match value:
        case bool():
            return "yes" if value else "no"
        case int():
            return str(value)
        case Decimal():
            return decimal_plain(value)
        case datetime() | date():
            return value.isoformat()
        case time():
            return f"{value:%H:%M}"
        case list() | dict():
            return cell_safe(json.dumps(value, ensure_ascii=False))
        case _:
            return cell_safe(value)
