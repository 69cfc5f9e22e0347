"""A roster beside the club's book of anglers: what its import would change."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from typing import Final

from django.utils.translation import gettext as _

from matches.models import Angler, Club, Team
from matches.reckon.sheets.anglers import AnglerLine

#: What of an angler a roster says, in the order it is told.
FIELDS: Final = ("name", "number", "team", "junior", "guardian_consents")


@dataclass(frozen=True, slots=True)
class AnglerCompared:
    """A line of the roster, the angler it is of (None for a new one), by field what differs
    (before, after), and by field why it cannot be: then nothing of it counts."""

    line: AnglerLine
    angler: Angler | None
    differs: Mapping[str, tuple[object, object]]
    refused: Mapping[str, str] = field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class AnglersCompared:
    """Each line in the order of the file, and the teams that nobody has heard of yet."""

    lines: tuple[AnglerCompared, ...]
    teams_new: tuple[str, ...]


def anglers_compare(club: Club, *, lines: Sequence[AnglerLine]) -> AnglersCompared:
    """Compare a roster with the book: an angler is the same by membership number, or else by name
    (whatever its case). Two queries."""
    book = list(Angler.objects.filter(club=club).select_related("team").order_by("pk"))
    teams = {team.name.casefold(): team.name for team in Team.objects.filter(club=club)}
    by_number = {angler.number.casefold(): angler for angler in book if angler.number}
    by_name: dict[str, list[Angler]] = defaultdict(list)
    for angler in book:
        by_name[angler.name.casefold()].append(angler)
    new: dict[str, str] = {}
    for line in lines:
        if line.team and line.team.casefold() not in teams:
            new.setdefault(line.team.casefold(), line.team)
    compared = [
        _compared(
            line,
            numbered=by_number.get((line.number or "").casefold()),
            named=by_name[line.name.casefold()],
            team=teams.get((line.team or "").casefold()) or new.get((line.team or "").casefold()),
        )
        for line in lines
    ]
    return AnglersCompared(tuple(_once_each(compared)), tuple(new.values()))


def _compared(
    line: AnglerLine, *, numbered: Angler | None, named: Sequence[Angler], team: str | None
) -> AnglerCompared:
    others = [angler for angler in named if numbered is None or angler.pk != numbered.pk]
    if numbered and others:
        said = _("This number is %(one)s’s in the book, and the name another’s: mend one of them.")
        return AnglerCompared(line, numbered, {}, {"number": said % {"one": numbered.name}})
    if len(named) > 1:
        said = _("More than one in the book has this name: give the membership number.")
        return AnglerCompared(line, None, {}, {"name": said})
    angler = numbered or (named[0] if named else None)
    told = {
        # Capitals are the book's: a list in capitals renames nobody.
        "name": None if angler in named else line.name,
        "number": line.number,
        "team": team,
        "junior": line.junior,
        "guardian_consents": line.guardian_consents,
    }
    before = angler_told(angler) if angler else dict.fromkeys(FIELDS)
    if (before["junior"] if told["junior"] is None else told["junior"]) is not True:
        # A guardian's consent counts for a junior only.
        told["guardian_consents"] = False if before["guardian_consents"] else None
    return AnglerCompared(
        line,
        angler,
        {
            name: (before[name], told[name])
            for name in FIELDS
            if told[name] is not None and told[name] != before[name] and (angler or told[name])
        },
    )


def angler_told(angler: Angler) -> dict[str, object]:
    """What the book says of an angler, by field."""
    return {
        "name": angler.name,
        "number": angler.number,
        "team": angler.team.name if angler.team else "",
        "junior": angler.junior,
        "guardian_consents": angler.guardian_consents,
    }


def _once_each(compared: Sequence[AnglerCompared]) -> list[AnglerCompared]:
    """Two rows that come to one angler, by name and by number: the later is refused."""
    first: dict[int, int] = {}
    kept = []
    for one in compared:
        if one.angler and first.setdefault(one.angler.pk, one.line.row) != one.line.row:
            said = _("This is the angler of row %(row)d: leave one out.")
            refused = {"name": said % {"row": first[one.angler.pk]}}
            one = AnglerCompared(one.line, one.angler, {}, refused)
        kept.append(one)
    return kept
