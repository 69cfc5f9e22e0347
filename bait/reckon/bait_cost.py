"""What bait cost beside what was caught: by the kilo and by the section point."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from typing import Final

from matches.reckon.weights import GRAMS_PER_DRAM

#: Grams in a unit of a match's weights.
GRAMS: Final = {"g": Fraction(1), "dr": GRAMS_PER_DRAM}


@dataclass(frozen=True, slots=True)
class MatchCost:
    """One angler's match: pence due of the bait order, grams weighed, section points.

    An angler who had bait and did not fish has neither grams nor points, and the pence count.
    """

    match: int
    pence: int
    grams: Fraction
    points: Fraction


@dataclass(frozen=True, slots=True)
class SeasonCost:
    """Sums over `matches` matches. `per_kilo` and `per_point` are pence, None without any."""

    matches: int
    pence: int
    grams: Fraction
    points: Fraction

    @property
    def per_kilo(self) -> Fraction | None:
        """Pence for a kilogram of fish."""
        return self.pence * 1000 / self.grams if self.grams else None

    @property
    def per_point(self) -> Fraction | None:
        """Pence for a point of the section."""
        return self.pence / self.points if self.points else None


def season_cost(rows: Sequence[MatchCost]) -> SeasonCost:
    """The sums over one angler's rows, or a whole team's."""
    return SeasonCost(
        matches=len({row.match for row in rows}),
        pence=sum(row.pence for row in rows),
        grams=sum((row.grams for row in rows), Fraction(0)),
        points=sum((row.points for row in rows), Fraction(0)),
    )


def section_points(place: Fraction, *, size: int) -> Fraction:
    """One for the last of the section, as many as it holds for the first; none for who stayed away.

    So points can be compared over matches, whichever way a match counts its own. Those level share
    theirs as they share the place.
    """
    return max(Fraction(0), size + 1 - place)
