"""The pegs of a venue from a file of any columns."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from matches.models import Person, Venue
from matches.reads.peg_files import PegCompared, pegs_compare
from matches.reckon.peg_list import peg_value_text
from matches.reckon.reading import Reading
from matches.reckon.sheets import MappedRow
from matches.reckon.sheets.pegs import PEG_COLUMNS, peg_lines
from matches.writes.pegs import pegs_import

from .look import Look, RowSeen, rows_seen, rows_sorted

WORDS = {column.name: column.words for column in PEG_COLUMNS}


def look(venue: Venue, rows: Sequence[MappedRow], reading: Reading) -> Look:
    """The file's pegs beside the venue's."""
    lines = tuple(line for line in peg_lines(reading, rows) if line is not None)
    compared = pegs_compare(venue, lines=lines)
    told = {one.line.row: _row(one, what) for what, one in rows_sorted(compared)}
    notes = []
    if compared.moved:
        order = ", ".join(compared.order)
        notes.append(_("Pegs change places. Downstream the order will be: %s.") % order)
    if compared.gone:
        n = len(compared.gone)
        said = ngettext(
            "%(n)d peg of the venue is not in the file and stays as it is.",
            "%(n)d pegs of the venue are not in the file and stay as they are.",
            n,
        )
        notes.append(said % {"n": n})
    return Look(
        rows_seen(rows, told, reading=reading, name="number"),
        lines,
        tuple(notes),
        moved=compared.moved,
    )


def write(person: Person, venue: Venue, seen: Look) -> Mapping[str, int]:
    """The file's pegs into the venue."""
    done = pegs_import(person, venue=venue, lines=seen.lines)
    return {"new": done.new, "changed": done.changed, "back": done.back}


def _row(one: PegCompared, what: str) -> RowSeen:
    differs = tuple(
        (WORDS[name], peg_value_text(before), peg_value_text(after))
        for name, (before, after) in one.differs.items()
    )
    return RowSeen(one.line.row, what, one.line.number, differs)
