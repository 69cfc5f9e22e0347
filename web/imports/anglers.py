"""Rosters: into the club's book, and from there into a match."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Mapping, Sequence

from django.db import transaction
from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from matches.models import Club, Match, Person
from matches.reads.angler_files import AnglerCompared, anglers_compare
from matches.reads.entries import angler_ids_in
from matches.reckon.reading import Reading
from matches.reckon.sheets import MappedRow
from matches.reckon.sheets.anglers import ANGLER_COLUMNS, angler_lines
from matches.writes.angler_files import AnglersImported, anglers_import
from matches.writes.entries import entries_add

from .look import Look, RowSeen, rows_seen

WORDS = {column.name: column.words for column in ANGLER_COLUMNS}


def look(club: Club, rows: Sequence[MappedRow], reading: Reading) -> Look:
    """A roster beside the book."""
    return _look(club, rows, reading, entered=None)


def write(person: Person, club: Club, seen: Look) -> Mapping[str, int]:
    """The roster into the book."""
    return _done(anglers_import(person, club=club, lines=seen.lines))


def entrants_look(match: Match, rows: Sequence[MappedRow], reading: Reading) -> Look:
    """A list of entrants beside the book and who is entered."""
    return _look(match.club, rows, reading, entered=angler_ids_in(match))


def entrants_write(person: Person, match: Match, seen: Look) -> Mapping[str, int]:
    """The list into the book, and who is not entered yet into the match, for the team of the book;
    when the places are taken the rest wait, in the order of the file."""
    with transaction.atomic():
        made = anglers_import(person, club=match.club, lines=seen.lines)
        entered = angler_ids_in(match)
        teams = dict(match.club.anglers.filter(pk__in=made.ids).values_list("pk", "team_id"))
        by_team: dict[int | None, list[int]] = defaultdict(list)
        for pk in made.ids:
            if pk not in entered:
                by_team[teams[pk]].append(pk)
        waiting = 0
        for team_id, ids in by_team.items():
            added = entries_add(person, match=match, angler_ids=ids, team_id=team_id)
            waiting += len(added.waiting)
        entries = sum(map(len, by_team.values()))
        return {**_done(made), "entered": entries - waiting, "waiting": waiting}


def _look(
    club: Club, rows: Sequence[MappedRow], reading: Reading, *, entered: set[int] | None
) -> Look:
    lines = tuple(line for line in angler_lines(reading, rows) if line is not None)
    compared = anglers_compare(club, lines=lines)
    notes = []
    if compared.teams_new:
        n = len(compared.teams_new)
        said = ngettext("A new team: %(names)s.", "%(n)d new teams: %(names)s.", n)
        notes.append(said % {"n": n, "names": ", ".join(compared.teams_new)})
    told = {one.line.row: _row(one, entered=entered) for one in compared.lines}
    name = "name" if any("name" in row.texts for row in rows) else "surname"
    return Look(rows_seen(rows, told, reading=reading, name=name), lines, tuple(notes))


def _row(one: AnglerCompared, *, entered: set[int] | None) -> RowSeen:
    if one.refused:
        faults = tuple((WORDS[name], sentence) for name, sentence in one.refused.items())
        return RowSeen(one.line.row, "refused", one.line.name, faults=faults)
    differs = [
        (WORDS[name], _said(before), _said(after)) for name, (before, after) in one.differs.items()
    ]
    enters = entered is not None and (one.angler is None or one.angler.pk not in entered)
    if enters:
        differs.append((_("Entry"), "", _("entered")))
    what = "changed" if differs else "same"
    if one.angler is None:
        what = "new"
    name = one.angler.name if one.angler else one.line.name
    return RowSeen(one.line.row, what, name, tuple(differs))


def _said(value: object) -> str:
    if isinstance(value, bool):
        return _("yes") if value else _("no")
    return str(value or "")


def _done(made: AnglersImported) -> dict[str, int]:
    return {"new": made.new, "changed": made.changed, "teams": made.teams}
