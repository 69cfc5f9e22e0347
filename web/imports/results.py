"""Results of before, from the club's own book."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from django.utils import timezone
from django.utils.translation import gettext as _

from matches.models import Club, Peg, Person
from matches.reads.past_files import PastCompared, pasts_compare
from matches.reckon.reading import Reading
from matches.reckon.sheets import MappedRow
from matches.reckon.sheets.results import RESULT_COLUMNS, result_lines
from matches.reckon.weights import weight_text
from matches.writes.past_results import past_results_import

from .look import Look, RowSeen, rows_seen

WORDS = {column.name: column.words for column in RESULT_COLUMNS} | {"weight": "Weight"}
NAMED_MOST = 20


def look(club: Club, rows: Sequence[MappedRow], reading: Reading) -> Look:
    """The file's results beside those held."""
    read = result_lines(reading, rows, today=timezone.localdate())
    lines = tuple(line for line in read if line is not None)
    compared = pasts_compare(club, lines=lines)
    told = {one.line.row: _row(one, units=compared.matches) for one in compared.lines}
    notes = []
    strangers = sorted({one.name for one in compared.lines if one.angler is None and one.venue})
    if strangers:
        said = _("Not in the club’s book of anglers, so kept by name alone: %s.")
        notes.append(said % _listed(strangers))
    elsewhere = _pegs_unknown(compared.lines)
    if elsewhere:
        said = _("Not among the pegs of the venue, so of no use for how pegs fish: %s.")
        notes.append(said % _listed(elsewhere))
    return Look(rows_seen(rows, told, reading=reading, name="angler"), lines, tuple(notes))


def write(person: Person, club: Club, seen: Look) -> Mapping[str, int]:
    """The file's results into the club's book."""
    done = past_results_import(person, club=club, lines=seen.lines)
    return {"new": done.new, "changed": done.changed, "matches": done.matches}


def _row(one: PastCompared, *, units: Mapping[Any, tuple[str, str]]) -> RowSeen:
    if one.refused:
        faults = tuple((WORDS[name], sentence) for name, sentence in one.refused.items())
        return RowSeen(one.line.row, "refused", one.name, faults=faults)
    unit = units[one.venue.pk, one.line.date][1] if one.venue else ""
    differs = tuple(
        (WORDS[name], _said(name, before, unit), _said(name, after, unit))
        for name, (before, after) in one.differs.items()
    )
    what = "new" if one.held is None else "changed" if differs else "same"
    return RowSeen(one.line.row, what, f"{one.name} · {one.line.date:%d.%m.%Y}", differs)


def _said(name: str, value: Any, unit: str) -> str:
    if name == "weight" and value is not None and unit:
        return weight_text(value, unit="dr" if unit == "dr" else "g")
    return "" if value is None else str(value)


def _pegs_unknown(lines: Sequence[PastCompared]) -> list[str]:
    venues = {one.venue.pk for one in lines if one.venue}
    known = set(Peg.objects.filter(venue__in=venues).values_list("venue_id", "number"))
    return sorted(
        {
            one.line.peg
            for one in lines
            if one.venue and one.line.peg and (one.venue.pk, one.line.peg) not in known
        }
    )


def _listed(names: Sequence[str]) -> str:
    more = len(names) - NAMED_MOST
    return ", ".join(names[:NAMED_MOST]) + (_(" and %d more") % more if more > 0 else "")
