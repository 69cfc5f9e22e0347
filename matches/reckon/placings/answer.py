"""The placings, the teams and the individuals of one match."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from fractions import Fraction

import numpy as np

from ..decimals import decimal_text
from .places import NOT_PLACED, places_doubled, points_in_units
from .ranks import Measure, Parting, ranked
from .request import Entry, PlacingsRequest, Section, TieBreak
from .scheme import Scheme


@dataclass(frozen=True, slots=True)
class Placing:
    """One angler's place and points in a section; `weight` is what counts (0 if disqualified), as
    is `score`, the points of the fish where they are scored."""

    angler: str
    team: str | None
    section: str
    weight: int
    place: Fraction
    points: Fraction
    score: int | None = None


@dataclass(frozen=True, slots=True)
class TeamResult:
    """A team's total over `counted` members; teams level after all tie-breaks share a rank.
    `parting`: what put it ahead of the next team, where both have the same points."""

    team: str
    points: Fraction
    weight: int
    counted: int
    rank: int
    score: int | None = None
    parting: Parting | None = None


@dataclass(frozen=True, slots=True)
class IndividualResult:
    """An angler among all sections, by points, then by score and weight; equals share a rank."""

    angler: str
    team: str | None
    section: str
    points: Fraction
    weight: int
    rank: int
    score: int | None = None
    parting: Parting | None = None


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
    weight = np.array(_caught_keys([entry for _, entry in entries]), dtype=np.int64)
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
            score=entry.counted_score,
        )
        for (i, entry), doubled, units in zip(
            entries, place2.tolist(), points.tolist(), strict=True
        )
    ]


def _caught_keys(entries: Sequence[Entry]) -> list[int]:
    """What each is placed by, the most first: the weight; where fish are scored the rank of score
    and, between equal scores, weight. 0 is a blank, NOT_PLACED who did not fish to the rules."""
    if all(entry.score is None for entry in entries):
        return [entry.weight if entry.fished else NOT_PLACED for entry in entries]
    caught = {(entry.score or 0, entry.weight) for entry in entries} | {(0, 0)}
    key = {pair: n for n, pair in enumerate(sorted(caught))}
    return [
        key[entry.score or 0, entry.weight] if entry.fished else NOT_PLACED for entry in entries
    ]


def _teams_rank(placings: Iterable[Placing], *, request: PlacingsRequest) -> Iterator[TeamResult]:
    members: defaultdict[str, list[Placing]] = defaultdict(list)
    for placing in placings:
        if placing.team is not None:
            members[placing.team].append(placing)

    def measures(team: str) -> list[Measure]:
        breaks = [m for b in request.team_tie_breaks for m in _team_measures(members[team], by=b)]
        points = sum((m.points for m in members[team]), Fraction(0))
        return [_points(points, request.scheme), *breaks]

    for row in ranked(members, measures=measures, name=lambda team: team):
        of = members[row.row]
        yield TeamResult(
            team=row.row,
            points=sum((m.points for m in of), Fraction(0)),
            weight=sum(m.weight for m in of),
            counted=len(of),
            rank=row.rank,
            score=_scores_sum(of),
            parting=row.parting,
        )


def _team_measures(members: Sequence[Placing], *, by: TieBreak) -> list[Measure]:
    """One tie-break of teams. Where fish are scored, the score goes before the weight in each."""
    scored = any(m.score is not None for m in members)
    if by == "best_place":
        return [Measure("best_place", min(m.place for m in members), high=False)]
    if by == "weight":
        score, weight = _scores_sum(members) or 0, sum(m.weight for m in members)
        fish = [Measure("fish", score, high=True)] if scored else []
        return [*fish, Measure("weight", weight, high=True)]
    score, weight = max((m.score or 0, m.weight) for m in members)
    fish = [Measure("best_fish", score, high=True)] if scored else []
    return [*fish, Measure("best_weight", weight, high=True)]


def _scores_sum(members: Iterable[Placing]) -> int | None:
    scores = [m.score for m in members if m.score is not None]
    return sum(scores) if scores else None


def _individuals_rank(placings: Iterable[Placing], *, scheme: Scheme) -> Iterator[IndividualResult]:
    def measures(placing: Placing) -> list[Measure]:
        score = [] if placing.score is None else [Measure("fish", placing.score, high=True)]
        weight = Measure("weight", placing.weight, high=True)
        return [_points(placing.points, scheme), *score, weight]

    for row in ranked(placings, measures=measures, name=lambda p: p.angler):
        p = row.row
        yield IndividualResult(
            p.angler, p.team, p.section, p.points, p.weight, row.rank, p.score, row.parting
        )


def _points(points: Fraction, scheme: Scheme) -> Measure:
    return Measure("points", points, high=scheme.direction == "high")
