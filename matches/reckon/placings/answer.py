"""The placings, the teams and the individuals of one match."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass
from fractions import Fraction
from typing import TypeVar

import numpy as np

from ..decimals import decimal_text
from .places import NOT_PLACED, places_doubled, points_in_units
from .request import Entry, PlacingsRequest, Section
from .scheme import Scheme

Row = TypeVar("Row")


@dataclass(frozen=True, slots=True)
class Placing:
    """One angler's place and points in a section; `weight` is what counts (0 if disqualified)."""

    angler: str
    team: str | None
    section: str
    weight: int
    place: Fraction
    points: Fraction


@dataclass(frozen=True, slots=True)
class TeamResult:
    """A team's total over `counted` members; teams level after all tie-breaks share a rank."""

    team: str
    points: Fraction
    weight: int
    counted: int
    rank: int


@dataclass(frozen=True, slots=True)
class IndividualResult:
    """An angler among all sections, by points, then by weight; equals share a rank."""

    angler: str
    team: str | None
    section: str
    points: Fraction
    weight: int
    rank: int


@dataclass(frozen=True, slots=True)
class PlacingsAnswer:
    """Placings by section and place; teams and individuals by rank; then by id in UTF-8 bytes."""

    placings: tuple[Placing, ...]
    teams: tuple[TeamResult, ...]
    individuals: tuple[IndividualResult, ...]

    def as_json(self) -> dict[str, object]:
        """The response of the API: places and points as exact decimal strings."""
        return {
            "placings": [
                {
                    "angler": p.angler,
                    "team": p.team,
                    "section": p.section,
                    "weight": p.weight,
                    "place": decimal_text(p.place),
                    "points": decimal_text(p.points),
                }
                for p in self.placings
            ],
            "teams": [
                {
                    "team": t.team,
                    "points": decimal_text(t.points),
                    "weight": t.weight,
                    "counted": t.counted,
                    "rank": t.rank,
                }
                for t in self.teams
            ],
            "individuals": [
                {
                    "angler": i.angler,
                    "team": i.team,
                    "section": i.section,
                    "points": decimal_text(i.points),
                    "weight": i.weight,
                    "rank": i.rank,
                }
                for i in self.individuals
            ],
        }


def placings_work_out(request: PlacingsRequest) -> PlacingsAnswer:
    """Place everybody in their section, then rank teams and individuals over all sections.

    The order of sections and entries in the request does not matter. A team's points are the sum
    over all its entries, the absent and disqualified with theirs: a member who did not come is
    entered as absent, or the team is short by a score.
    """
    placings = _sections_place(request.sections, scheme=request.scheme)
    teams = placings
    if request.teams_ranked_without_singles:
        kept = [_without_singles(section) for section in request.sections]
        teams = _sections_place(kept, scheme=request.scheme)
    return PlacingsAnswer(
        placings=tuple(
            sorted(placings, key=lambda p: (p.section.encode(), p.place, p.angler.encode()))
        ),
        teams=tuple(_teams_rank(teams, request=request)),
        individuals=tuple(_individuals_rank(placings, scheme=request.scheme)),
    )


def _without_singles(section: Section) -> Section:
    kept = tuple(entry for entry in section.entries if entry.team is not None)
    return Section(section.id, kept, section.anglers - len(section.entries) + len(kept))


def _sections_place(sections: Sequence[Section], *, scheme: Scheme) -> list[Placing]:
    """The placings in the order of the entries."""
    entries = [(i, entry) for i, section in enumerate(sections) for entry in section.entries]
    section = np.array([i for i, _ in entries], dtype=np.int64)
    weight = np.array([_array_weight(entry) for _, entry in entries], dtype=np.int64)
    size = np.array([s.anglers for s in sections], dtype=np.int64)
    place2 = places_doubled(section, weight=weight, size=size, scheme=scheme)
    points = points_in_units(place2, section=section, weight=weight, size=size, scheme=scheme)
    unit = scheme.points_per_unit
    return [
        Placing(
            angler=entry.angler,
            team=entry.team,
            section=sections[i].id,
            weight=entry.counted_weight,
            place=Fraction(doubled, 2),
            points=Fraction(units, unit),
        )
        for (i, entry), doubled, units in zip(
            entries, place2.tolist(), points.tolist(), strict=True
        )
    ]


def _array_weight(entry: Entry) -> int:
    return entry.weight if entry.fished else NOT_PLACED


def _teams_rank(placings: Iterable[Placing], *, request: PlacingsRequest) -> Iterator[TeamResult]:
    members: defaultdict[str, list[Placing]] = defaultdict(list)
    for placing in placings:
        if placing.team is not None:
            members[placing.team].append(placing)

    def standing(team: str) -> tuple[Fraction | int, ...]:
        breaks: dict[str, Fraction | int] = {
            "weight": -sum(m.weight for m in members[team]),
            "best_place": min(m.place for m in members[team]),
            "best_weight": -max(m.weight for m in members[team]),
        }
        points = sum((m.points for m in members[team]), Fraction(0))
        return (
            _worse(points, scheme=request.scheme),
            *(breaks[b] for b in request.team_tie_breaks),
        )

    for rank, team in _ranked(members, standing=standing, name=lambda team: team):
        yield TeamResult(
            team=team,
            points=sum((m.points for m in members[team]), Fraction(0)),
            weight=sum(m.weight for m in members[team]),
            counted=len(members[team]),
            rank=rank,
        )


def _individuals_rank(placings: Iterable[Placing], *, scheme: Scheme) -> Iterator[IndividualResult]:
    def standing(placing: Placing) -> tuple[Fraction | int, ...]:
        return (_worse(placing.points, scheme=scheme), -placing.weight)

    for rank, p in _ranked(placings, standing=standing, name=lambda p: p.angler):
        yield IndividualResult(p.angler, p.team, p.section, p.points, p.weight, rank)


def _worse(points: Fraction, *, scheme: Scheme) -> Fraction:
    """Points turned so that less is better."""
    return points if scheme.direction == "low" else -points


def _ranked(
    rows: Iterable[Row],
    *,
    standing: Callable[[Row], tuple[Fraction | int, ...]],
    name: Callable[[Row], str],
) -> Iterator[tuple[int, Row]]:
    """Rows with their rank, best (least `standing`) first; equals share a rank, by name in it."""
    told = [(standing(row), name(row).encode(), row) for row in rows]
    told.sort(key=lambda t: t[:2])
    rank, last = 0, None
    for position, (key, _, row) in enumerate(told, start=1):
        if key != last:
            rank, last = position, key
        yield rank, row
