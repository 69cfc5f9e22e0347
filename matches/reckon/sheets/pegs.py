"""Pegs under columns of any name, read as `matches.reckon.peg_fields` reads them."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

from matches.reckon.peg_fields import COLUMNS, FLAGS, PLACE, PegLine, peg_line_read, repeats_note
from matches.reckon.reading import Reading

from .columns import Column
from .rows import MappedRow
from .values import flag_read, point_put

PEG_COLUMNS: Final = (
    Column("number", "Peg", ("no", "peg number", "peg no", "swim", "stand"), needed=True),
    Column("side", "Bank", ("left or right", "bank side", "which bank")),
    Column("along_m", "Metres along the bank", ("along", "distance", "metres", "chainage")),
    Column("depth_cm", "Depth in cm", ("depth", "water depth")),
    Column("latitude", "Latitude", ("lat", "north")),
    Column("longitude", "Longitude", ("lon", "long", "lng", "east")),
    Column("accessible", "Reached with a wheelchair", ("wheelchair", "access", "disabled access")),
    Column("power_lines", "Power lines", ("power line", "overhead lines", "cables", "wires")),
    Column("steep_bank", "Steep bank", ("steep", "high bank")),
    Column("notes", "Notes", ("note", "remarks", "comment", "comments")),
)


def peg_lines(reading: Reading, rows: Sequence[MappedRow]) -> list[PegLine | None]:
    """Each row's peg, downstream; None where anything of it is wrong, which is noted."""
    lines = [
        peg_line_read(
            reading,
            {name: _plain(name, row.texts[name]) for name in COLUMNS if name in row.texts},
            row=row.number,
            where={name: row.at(name) for name in COLUMNS},
        )
        for row in rows
    ]
    repeats_note(reading, lines, what="row")
    return lines


def _plain(name: str, text: str) -> str:
    if name in FLAGS and flag_read(text) is not None:
        return "yes" if flag_read(text) else "no"
    if name in PLACE:
        return point_put(text)
    return text
