"""The rows of a result, as pages, the API and bulletins show them. Names are public names."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from matches.models import Match
from matches.reckon.placings import Parting
from matches.reckon.weights import weight_text


@dataclass(frozen=True, slots=True)
class NetWeight:
    """One net that stands, in the match's unit, and the fact that says so.

    `counted` is what it counts under the match's cap; `fish` what was counted of each species, None
    where nobody counted; `score` their points, None where fish are not scored.
    """

    net: int
    weight: int
    fact: str
    counted: int
    fish: tuple[tuple[str, int], ...] | None = None
    score: int | None = None

    @property
    def is_capped(self) -> bool:
        """Whether it was over the cap."""
        return self.counted != self.weight

    @property
    def lacks_fish(self) -> bool:
        """Whether fish are scored, something was weighed, and nobody counted it."""
        return self.score is not None and self.fish is None and self.weight > 0


@dataclass(frozen=True, slots=True)
class ResultEntry:
    """One angler at a peg. `weight` is None until a net stands; `place` until it can be placed.

    `weight` is what was weighed: for the disqualified it is shown and does not count. `counted` is
    what it comes to under the cap of nets, `score` the points of the fish where they are scored.
    """

    entry: int
    angler: str
    team: str | None
    section: str
    peg: str
    nets: tuple[NetWeight, ...]
    status: str
    place: str | None = None
    points: str | None = None

    @property
    def weight(self) -> int | None:
        """All nets together, in the match's unit."""
        return sum(n.weight for n in self.nets) if self.nets else None

    @property
    def counted(self) -> int | None:
        """All nets together, each under the cap."""
        return sum(n.counted for n in self.nets) if self.nets else None

    @property
    def is_capped(self) -> bool:
        """Whether a net of it was over the cap."""
        return self.counted != self.weight

    @property
    def score(self) -> int | None:
        """Points of the fish; None where fish are not scored."""
        scores = [n.score for n in self.nets if n.score is not None]
        return sum(scores) if scores else None

    @property
    def fish(self) -> int:
        """How many fish were counted."""
        return sum(count for n in self.nets for _, count in n.fish or ())

    @property
    def lacks_fish(self) -> bool:
        return any(n.lacks_fish for n in self.nets)

    @property
    def counts(self) -> bool:
        """Whether the weight, if there is one, is placed."""
        return self.status in ("entered", "retired")

    @property
    def to_weigh(self) -> bool:
        """Whether the scales still wait for this angler."""
        return self.status == "entered" and not self.nets


@dataclass(frozen=True, slots=True)
class SectionResult:
    """A section's entries in bank order, and how many of them the scales wait for."""

    label: str
    entries: tuple[ResultEntry, ...]

    @property
    def ranked(self) -> tuple[ResultEntry, ...]:
        """The placed by place, then those without one by peg."""
        return tuple(sorted(self.entries, key=lambda e: (e.place is None, float(e.place or 0))))

    @property
    def to_weigh(self) -> tuple[ResultEntry, ...]:
        """Whom the scales still wait for."""
        return tuple(e for e in self.entries if e.to_weigh)


@dataclass(frozen=True, slots=True)
class TeamRow:
    """A team's total so far; no `rank` while one of its members is still to weigh.

    `parting` is what put it ahead of the next team with the same points, `other` in it its name.
    """

    team: str
    points: str
    weight: int
    counted: int
    members: int
    rank: int | None
    score: int | None = None
    parting: Parting | None = None


@dataclass(frozen=True, slots=True)
class IndividualRow:
    """One of everybody placed. `parting` is what put them ahead of the next one level with them."""

    rank: int
    entry: ResultEntry
    parting: Parting | None = None


@dataclass(frozen=True, slots=True)
class PegShown:
    """A peg along the bank for the river strip: drawn or empty."""

    peg: str
    section: str
    entry: ResultEntry | None
    side: str = ""


@dataclass(frozen=True, slots=True)
class MatchResult:
    """What stands of a match now."""

    match: Match
    sections: tuple[SectionResult, ...]
    teams: tuple[TeamRow, ...]
    individuals: tuple[IndividualRow, ...]
    pegs: tuple[PegShown, ...]
    undrawn: tuple[str, ...]
    disagreements: int

    def entries(self) -> Iterator[ResultEntry]:
        """All who were drawn, section by section along the bank."""
        for section in self.sections:
            yield from section.entries

    @property
    def to_weigh(self) -> tuple[ResultEntry, ...]:
        """Whom the scales still wait for."""
        return tuple(e for e in self.entries() if e.to_weigh)

    @property
    def expected(self) -> int:
        """How many the scales were or are waiting for: all but the absent and disqualified."""
        return sum(1 for e in self.entries() if e.counts)

    @property
    def weighed(self) -> int:
        """How many of the expected the scales have been to."""
        return self.expected - len(self.to_weigh)

    @property
    def biggest(self) -> ResultEntry | None:
        """The greatest weight that counts; of equals the one furthest upstream."""
        caught = [e for e in self.entries() if e.counts and e.counted]
        return max(caught, key=lambda e: e.counted or 0, default=None)

    @property
    def by_weight(self) -> tuple[IndividualRow, ...]:
        """Everybody who fished to the rules and was placed, by what counts of their weight."""
        caught = [e for e in self.entries() if e.counts and e.place is not None]
        caught.sort(key=lambda e: -(e.counted or 0))
        first: dict[int, int] = {}
        for at, entry in enumerate(caught, 1):
            first.setdefault(entry.counted or 0, at)
        return tuple(IndividualRow(first[e.counted or 0], e) for e in caught)

    def weight_text(self, weight: int | None) -> str:
        """A weight with its unit, as people write it; "" for None."""
        return "" if weight is None else weight_text(weight, unit=self.match.unit)
