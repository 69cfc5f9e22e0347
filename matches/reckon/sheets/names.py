"""Names typed one a line, as a list on paper is copied."""

from __future__ import annotations

from typing import Final

from matches.reckon.reading import Reading, is_storable

from .anglers import AnglerLine, angler_lines
from .rows import MappedRow

LINES_MOST: Final = 500


def names_read(text: str, *, team: str) -> list[AnglerLine]:
    """An angler a line, all of `team` ("": of none said); empty lines are passed over.

    Raises BadInput with every fault, at "/names" or "/team".
    """
    reading = Reading()
    written = [(n, line.strip()) for n, line in enumerate(text.splitlines(), 1) if line.strip()]
    if not written:
        reading.fault(("names",), "Write at least one name.")
    if len(written) > LINES_MOST:
        reading.fault(("names",), f"Write at most {LINES_MOST} names at a time.")
    if not is_storable(text) or not is_storable(team):
        reading.fault(("names",), "A character here cannot be stored: write it anew.")
    reading.finish()
    where = {"name": ("names",), "team": ("team",)}
    rows = [MappedRow(n, {"name": name, "team": team}, where) for n, name in written]
    lines = angler_lines(reading, rows)
    reading.finish()
    return [line for line in lines if line is not None]
