"""A venue's pegs over all its published matches, and those of before from the club's own book."""

from __future__ import annotations

import datetime as dt
from bisect import bisect_left, bisect_right
from collections import defaultdict
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from fractions import Fraction
from typing import Any

from matches.models import PastResult, Peg, RiverLevel, Venue
from matches.reckon.peg_form import Finish, PegForm, peg_forms, peg_forms_when
from matches.reckon.seasons import SEASONS, season_of

from .newest_bulletins import newest_bulletins
from .venues import pegs_of

#: What counts as having fished: who left early or stayed away says nothing of the peg.
FISHED = "entered"


@dataclass(frozen=True, slots=True)
class Conditions:
    """The pegs under each of several conditions: `matches` published under each, in the order they
    are shown, and the form of each peg there, by peg and condition."""

    matches: dict[str, int]
    forms: dict[tuple[str, str], PegForm]


@dataclass(frozen=True, slots=True)
class VenueForm:
    """The pegs in bank order, each with its form where it was fished; `matches` published there,
    and `past` ones from the club's own book.

    `boards` holds the least and the most that the gauge board read at each level, in centimetres.
    """

    pegs: tuple[tuple[Peg, PegForm | None], ...]
    matches: int
    past: int
    seasons: Conditions
    levels: Conditions
    boards: dict[str, tuple[int, int]]


@dataclass(frozen=True, slots=True)
class Published:
    """The latest bulletin's body of one match, and when and at what level it was fished."""

    body: dict[str, Any]
    day: dt.date
    level: str
    board_cm: int | None


@dataclass(frozen=True, slots=True)
class Fished:
    """One match: when and at what level it was fished (empty: not said), and how each peg did."""

    day: dt.date
    level: str
    finishes: tuple[Finish, ...]


def venue_form(venue: Venue) -> VenueForm:
    """Read from the latest bulletin of every match, and from results of before. Three queries. For
    who may see the venue."""
    matches, past = published_at(venue), past_at(venue)
    held = [Fished(match.day, match.level, tuple(_finishes(match.body))) for match in matches]
    held += past
    forms = peg_forms(one for match in held for one in match.finishes) or {}
    return VenueForm(
        pegs=tuple((peg, forms.get(peg.number)) for peg in pegs_of(venue)),
        matches=len(matches),
        past=len(past),
        seasons=_under(SEASONS, ((season_of(match.day), match) for match in held)),
        levels=_under(RiverLevel.values, ((match.level, match) for match in held if match.level)),
        boards=_boards(matches),
    )


def _boards(matches: Iterable[Published]) -> dict[str, tuple[int, int]]:
    read: dict[str, list[int]] = defaultdict(list)
    for match in matches:
        if match.level and match.board_cm is not None:
            read[match.level].append(match.board_cm)
    return {level: (min(of), max(of)) for level, of in read.items()}


def published_at(venue: Venue) -> list[Published]:
    """Every match with a bulletin there. One query."""
    rows = newest_bulletins().filter(match__venue=venue)
    told = ("body", "match__date", "match__river_level", "match__board_cm")
    return [Published(*row) for row in rows.values_list(*told)]


def fished(entries: Iterable[dict[str, Any]]) -> list[dict[str, Any]]:
    """Those of a bulletin's entries who fished to the end and were placed."""
    return [e for e in entries if e["status"] == FISHED and e["place"] is not None]


def past_at(venue: Venue) -> list[Fished]:
    """Every match there of the club's own book, as far as it tells a section's order. One query."""
    rows = PastResult.objects.filter(match__venue=venue).order_by("match__date", "match_id", "pk")
    sections: dict[tuple[int, dt.date], dict[str, list[PastResult]]] = {}
    for row in rows.select_related("match"):
        match = sections.setdefault((row.match_id, row.match.date), {})
        match.setdefault(row.section, []).append(row)
    held = [
        Fished(day, "", tuple(one for of in match.values() for one in _past_finishes(of)))
        for (_match, day), match in sections.items()
    ]
    return [match for match in held if match.finishes]


def _past_finishes(section: Sequence[PastResult]) -> Iterator[Finish]:
    """By weight where anything was weighed, else by the places that were written down."""
    placed = [(row, -row.weight) for row in section if row.weight is not None]
    if not placed:
        placed = [(row, row.place) for row in section if row.place is not None]
    places = shared_places([value for _row, value in placed])
    for (row, _value), place in zip(placed, places, strict=True):
        if row.peg:
            yield Finish(row.peg, place, len(placed))


def _under(order: Iterable[str], matches: Iterable[tuple[str, Fished]]) -> Conditions:
    held: dict[str, list[Fished]] = defaultdict(list)
    for condition, match in matches:
        held[condition].append(match)
    seen = {condition: held[condition] for condition in order if condition in held}
    return Conditions(
        {condition: len(of) for condition, of in seen.items()},
        peg_forms_when(
            {
                condition: [one for match in of for one in match.finishes]
                for condition, of in seen.items()
            }
        ),
    )


def _finishes(body: dict[str, Any]) -> Iterator[Finish]:
    """Each against the others of the section."""
    for section in body["sections"]:
        placed = fished(section["entries"])
        # Places count the others too: among those who fished they are taken anew.
        places = shared_places([Fraction(entry["place"]) for entry in placed])
        for entry, place in zip(placed, places, strict=True):
            yield Finish(entry["peg"], place, len(placed))


def shared_places(values: Sequence[Fraction] | Sequence[int]) -> list[Fraction]:
    """The place of each among all, the lowest value first, ties shared."""
    ordered = sorted(values)
    return [Fraction(bisect_left(ordered, v) + bisect_right(ordered, v) + 1, 2) for v in values]
