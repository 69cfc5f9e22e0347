"""Results of before in a file, beside those that the club's book holds already."""

from __future__ import annotations

import datetime as dt
import difflib
from collections import defaultdict
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any, Final

from django.utils.translation import gettext as _

from matches.models import Angler, Bulletin, Club, PastMatch, PastResult, Venue
from matches.reckon.sheets.results import ResultLine

FIELDS: Final = ("peg", "section", "weight", "place", "points")
Day = tuple[int, dt.date]


@dataclass(frozen=True, slots=True)
class PastCompared:
    """A line, whose it is (`angler` None: nobody of the book, but `name`), the result that is held
    of it, by field what differs (before, after), and by column why it cannot be."""

    line: ResultLine
    venue: Venue | None
    angler: Angler | None
    held: PastResult | None
    differs: Mapping[str, tuple[Any, Any]]
    refused: Mapping[str, str] = field(default_factory=dict)

    @property
    def name(self) -> str:
        return self.angler.name if self.angler else self.line.angler


@dataclass(frozen=True, slots=True)
class PastsCompared:
    """Each line in the order of the file, and by venue and day what the match is called and
    weighed in."""

    lines: tuple[PastCompared, ...]
    matches: Mapping[Day, tuple[str, str]]


def pasts_compare(club: Club, *, lines: Sequence[ResultLine]) -> PastsCompared:
    """Compare a file's results with those held: one is the same by day, venue and angler, who is
    known by membership number or name. Five queries."""
    known = _Known(club, lines)
    first: dict[tuple[Day, str], int] = {}
    compared, matches = [], dict[Day, tuple[str, str]]()
    for line in lines:
        one = known.compared(line, matches)
        if one.venue and not one.refused:
            who = (one.venue.pk, line.date), one.name.casefold()
            row = first.setdefault(who, line.row)
            if row != line.row:
                said = _("This angler is in row %(row)d of this match already.") % {"row": row}
                one = PastCompared(line, one.venue, one.angler, None, {}, {"angler": said})
        compared.append(one)
    return PastsCompared(tuple(compared), matches)


class _Known:
    """What the club has that a file may name."""

    def __init__(self, club: Club, lines: Sequence[ResultLine]) -> None:
        self.venues = {v.name.casefold(): v for v in Venue.objects.filter(club=club)}
        self.by_name: dict[str, list[Angler]] = defaultdict(list)
        self.by_number: dict[str, Angler] = {}
        for angler in Angler.objects.filter(club=club):
            self.by_name[angler.name.casefold()].append(angler)
            if angler.number:
                self.by_number[angler.number.casefold()] = angler
        days = {line.date for line in lines}
        span = (min(days), max(days)) if days else (dt.date.min, dt.date.min)
        self.published = set(
            Bulletin.objects.filter(match__club=club, match__date__range=span).values_list(
                "match__venue_id", "match__date"
            )
        )
        held = PastMatch.objects.filter(club=club, date__range=span).order_by("pk")
        self.matches: dict[Day, PastMatch] = {(m.venue_id, m.date): m for m in held}
        results = PastResult.objects.filter(match__in=held).select_related("angler")
        self.results = {
            (r.match_id, (r.angler.name if r.angler else r.name).casefold()): r
            for r in results.order_by("pk")
        }

    def compared(self, line: ResultLine, matches: dict[Day, tuple[str, str]]) -> PastCompared:
        venue = self.venues.get(line.venue.casefold())
        if venue is None:
            return PastCompared(line, None, None, None, {}, {"venue": self._venue_said(line)})
        angler, refused = self._angler(line)
        day = (venue.pk, line.date)
        if day in self.published:
            refused["date"] = _("A match of this day is published here: its bulletin stands.")
        refused |= self._match_put(day, line, matches)
        if refused:
            return PastCompared(line, venue, angler, None, {}, refused)
        match = self.matches.get(day)
        name = (angler.name if angler else line.angler).casefold()
        held = self.results.get((match.pk, name)) if match else None
        differs = {
            field: (getattr(held, field, None), value)
            for field in FIELDS
            if (value := getattr(line, field)) not in (None, "")
            and getattr(held, field, None) != value
        }
        return PastCompared(line, venue, angler, held, differs)

    def _venue_said(self, line: ResultLine) -> str:
        near = difflib.get_close_matches(line.venue.casefold()[:80], self.venues, n=1)
        if near:
            return _("The club has no venue of this name. Is it “%s”?") % self.venues[near[0]].name
        return _("The club has no venue of this name: add it first, or mend the name.")

    def _angler(self, line: ResultLine) -> tuple[Angler | None, dict[str, str]]:
        if line.number and line.number.casefold() in self.by_number:
            return self.by_number[line.number.casefold()], {}
        named = self.by_name.get(line.angler.casefold(), [])
        if len(named) > 1:
            said = _("More than one in the book has this name: give the membership number.")
            return None, {"angler": said}
        return (named[0] if named else None), {}

    def _match_put(
        self, day: Day, line: ResultLine, matches: dict[Day, tuple[str, str]]
    ) -> dict[str, str]:
        """Note what the line says of its match; why it cannot be, where it says otherwise."""
        held = self.matches.get(day)
        name, unit = matches.get(day) or ((held.name, held.weight_unit) if held else ("", ""))
        if line.unit and unit and line.unit != unit:
            return {"weight": _("This match is weighed in other units elsewhere: keep to one.")}
        in_file = day in matches
        if line.match and name and line.match.casefold() != name.casefold() and in_file:
            said = _("A match of this day at this venue is called %s in another row.")
            return {"match": said % name}
        matches[day] = (name if in_file and name else line.match or name, line.unit or unit)
        return {}
