"""A workbook (XLSX) as the archive that it is: looked through before anything of it is read.

ECMA-376 part 2: a package of parts, told apart by their names. A part is never written to a disk.
"""

from __future__ import annotations

import io
import re
import zipfile
import zlib
from collections.abc import Collection
from dataclasses import dataclass
from typing import Final

from matches.reckon.errors import BadInput

from .sheet import MOST_TAGS, MOST_UNPACKED, file_refused

MOST_PARTS: Final = 1_000
_AT_ONCE: Final = 65_536
_FORMULA: Final = re.compile(rb"[<:]f[\s/>]")
_TOO_LARGE: Final = (
    "Unpacked, this workbook is far too large: copy the table alone into a new one, or save it as "
    "“CSV UTF-8”."
)
_BROKEN: Final = (
    zipfile.BadZipFile,
    zlib.error,
    EOFError,
    NotImplementedError,
    ValueError,
    OSError,
)
_DAMAGED: Final = "The workbook is damaged: open it, save it anew, and choose it again."


@dataclass(frozen=True, slots=True)
class PartsSeen:
    """Whether any sheet has merged cells, and formulas."""

    merged: bool
    formulas: bool


def parts_check(raw: bytes) -> PartsSeen:
    """What of the parts is to be known first. Raises BadInput for what is no workbook, holds
    macros, is locked or damaged, or unpacks to more than it may (really counted, whatever it
    claims)."""
    try:
        with zipfile.ZipFile(io.BytesIO(raw)) as archive:
            infos = archive.infolist()
            _kind_check({info.filename for info in infos})
            if any(_leads_out(info.filename) for info in infos):
                raise file_refused(
                    "Parts of this file have names that lead out of it: do not use it."
                )
            if any(info.flag_bits & 1 for info in infos):
                raise file_refused("This workbook is locked: save it without a password.")
            if len(infos) > MOST_PARTS or sum(info.file_size for info in infos) > MOST_UNPACKED:
                raise file_refused(_TOO_LARGE)
            return _unpacked(archive, infos)
    except BadInput:
        raise
    except _BROKEN as error:
        raise file_refused(_DAMAGED) from error


def _kind_check(names: Collection[str]) -> None:
    if "mimetype" in names:
        raise file_refused("This is an OpenDocument file (ODS): save it as XLSX or “CSV UTF-8”.")
    if any(name.lower().endswith("vbaproject.bin") for name in names):
        raise file_refused("This workbook holds macros (XLSM): save it as XLSX without them.")
    if "xl/workbook.bin" in names:
        raise file_refused("This is a binary workbook (XLSB): save it as XLSX or “CSV UTF-8”.")
    if "[Content_Types].xml" not in names or "xl/workbook.xml" not in names:
        raise file_refused(
            "This is an archive and not a workbook: unpack it, and choose the table in it."
        )


def _leads_out(name: str) -> bool:
    return bool(re.search(r"(^|[/\\])\.\.([/\\]|$)|^[/\\]|^[A-Za-z]:|\0", name))


def _unpacked(archive: zipfile.ZipFile, infos: Collection[zipfile.ZipInfo]) -> PartsSeen:
    """Unpack all of it once, counting."""
    total, tags, merged, formulas = 0, 0, False, False
    for info in infos:
        before = b""
        with archive.open(info) as part:
            while some := part.read(_AT_ONCE):
                total, tags = total + len(some), tags + some.count(b"<")
                if total > MOST_UNPACKED or tags > MOST_TAGS:
                    raise file_refused(_TOO_LARGE)
                if info.filename.startswith("xl/worksheets/"):
                    merged |= b"mergeCell" in before + some
                    formulas |= bool(_FORMULA.search(before + some))
                before = some[-16:]
    return PartsSeen(merged, formulas)
