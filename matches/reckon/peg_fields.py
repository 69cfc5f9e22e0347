"""What is known of a peg, as a person or a file writes it: read strictly, every fault told."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass
from decimal import Decimal
from typing import Final

from matches.reckon.decimals import digits_read

from .errors import BadInput, Fault
from .reading import Reading, Where, is_storable

#: The columns of a file of pegs, and the fields of the form; only the number is needed.
COLUMNS: Final = (
    "number",
    "side",
    "along_m",
    "depth_cm",
    "latitude",
    "longitude",
    "accessible",
    "power_lines",
    "steep_bank",
    "notes",
)
FLAGS: Final = ("accessible", "power_lines", "steep_bank")
PLACE: Final = ("latitude", "longitude")
MOST: Final = {"along_m": 100_000, "depth_cm": 5_000, "latitude": 90, "longitude": 180}
NUMBER_LONGEST: Final = 8
NOTES_LONGEST: Final = 1_000
_PLACE: Final = re.compile(r"([+-]?)([0-9]{1,3}(?:\.[0-9]{0,150})?)")
_MICRO: Final = Decimal("0.000001")
_YES: Final = ("yes", "true", "1", "on", "y")
_NO: Final = ("no", "false", "0", "", "n")

PegValue = str | int | bool | Decimal | None


@dataclass(frozen=True, slots=True)
class PegLine:
    """One peg as written: `values` by column, of those columns that were there at all.

    Metres and centimetres are whole numbers, places degrees (WGS 84) with six decimals; None is
    not known. `row` is where it stood.
    """

    row: int
    number: str
    values: Mapping[str, PegValue]


def peg_line_read(
    reading: Reading, texts: Mapping[str, str], *, row: int, where: Mapping[str, Where]
) -> PegLine | None:
    """The peg whose columns hold `texts`; None where anything of it is wrong, which is noted."""
    before = len(reading.faults)
    number = texts.get("number", "").strip()
    if not 1 <= len(number) <= NUMBER_LONGEST or not number.isalnum():
        reading.fault(
            where["number"],
            f"Number the peg in 1 to {NUMBER_LONGEST} letters and digits, such as 12 or 12a.",
        )
    values = {
        name: _value(reading, name, text.strip(), where[name])
        for name, text in texts.items()
        if name != "number"
    }
    _place_check(reading, texts, where=where)
    return PegLine(row, number, values) if len(reading.faults) == before else None


def peg_read(fields: Mapping[str, str]) -> PegLine:
    """A peg from a form whose fields are called as the columns. Faults point at "/field"."""
    reading = Reading()
    line = peg_line_read(reading, fields, row=0, where={name: (name,) for name in fields})
    if line is None:
        raise BadInput(*reading.faults)
    return line


def _value(reading: Reading, name: str, text: str, where: Where) -> PegValue:
    if name in FLAGS:
        return _flag(reading, text, where)
    if name == "side":
        return _side(reading, text, where)
    if name == "notes":
        return _notes(reading, text, where)
    if not text:
        return None
    return (_degrees if name in PLACE else _whole)(reading, text, where, most=MOST[name])


def _flag(reading: Reading, text: str, where: Where) -> bool:
    if text.casefold() not in (*_YES, *_NO):
        reading.fault(where, "Write yes or no.")
    return text.casefold() in _YES


def _side(reading: Reading, text: str, where: Where) -> str:
    side = text.casefold()
    if side not in ("left", "right", ""):
        reading.fault(where, "Write left or right, as one looks downstream, or nothing.")
    return side


def _notes(reading: Reading, text: str, where: Where) -> str:
    notes = "\n".join(text.splitlines())
    if len(notes) > NOTES_LONGEST:
        reading.fault(where, f"Write at most {NOTES_LONGEST:,} characters.")
    elif not is_storable(notes):
        reading.fault(where, "A character here cannot be stored: write it anew.")
    return notes


def _whole(reading: Reading, text: str, where: Where, *, most: int) -> int | None:
    value = digits_read(text, most=most)
    if value is not None:
        return value
    reading.fault(where, f"Write a whole number from 0 to {most:,}, or nothing.")
    return None


def _degrees(reading: Reading, text: str, where: Where, *, most: int) -> Decimal | None:
    found = _PLACE.fullmatch(text)
    size = Decimal(found[2]) if found else Decimal(most + 1)
    if not found or size > most:
        reading.fault(
            where, f"Write degrees with a point, from -{most} to {most}, such as 52.123456."
        )
        return None
    rounded = size.quantize(_MICRO)
    return -rounded if found[1] == "-" and rounded else rounded


def _place_check(reading: Reading, texts: Mapping[str, str], *, where: Mapping[str, Where]) -> None:
    """Half a place is none."""
    for name, other in (PLACE, PLACE[::-1]):
        if texts.get(other, "").strip() and not texts.get(name, "").strip():
            reading.fault(where[name], f"The {name} is missing beside the {other}: add it.")


def repeats_note(reading: Reading, lines: list[PegLine | None], *, what: str) -> None:
    """Note each number that stood in the file before; `what` is what the file counts."""
    first: dict[str, int] = {}
    for line in lines:
        if line is not None and first.setdefault(line.number, line.row) != line.row:
            reading.fault(
                (line.row, "number"),
                f"Peg {line.number} is in {what} {first[line.number]} already: leave one out.",
            )


def file_refuse(sentence: str) -> BadInput:
    """A refusal of the whole file."""
    return BadInput(Fault("", sentence))
