"""Ranks by one measure after another, and which of them parted those level on points."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass
from fractions import Fraction
from itertools import pairwise
from typing import Generic, Literal, TypeVar

Row = TypeVar("Row")
PartedBy = Literal["fish", "weight", "best_place", "best_fish", "best_weight"]


@dataclass(frozen=True, slots=True)
class Measure:
    """One number to rank by: `high` says whether more is better. The first is always the points."""

    name: PartedBy | Literal["points"]
    value: Fraction | int
    high: bool

    @property
    def key(self) -> Fraction | int:
        return -self.value if self.high else self.value


@dataclass(frozen=True, slots=True)
class Parting:
    """Why one is ahead of the next though both have the same points: `by` which tie-break, with
    what of one's own against what of `other`'s."""

    by: PartedBy
    mine: Fraction | int
    theirs: Fraction | int
    other: str


@dataclass(frozen=True, slots=True)
class Ranked(Generic[Row]):
    """A row with its rank. `parting`: what put it ahead of the next, if they are level on points;
    None also where nothing parts them, and they share the rank."""

    rank: int
    row: Row
    parting: Parting | None


def ranked(
    rows: Iterable[Row],
    *,
    measures: Callable[[Row], Sequence[Measure]],
    name: Callable[[Row], str],
) -> Iterator[Ranked[Row]]:
    """Rows with their rank, best first; equals share a rank, by name in UTF-8 bytes within it."""
    told = [(measures(row), row) for row in rows]
    told.sort(key=lambda t: (tuple(m.key for m in t[0]), name(t[1]).encode()))
    partings: list[Parting | None] = [
        _parting(mine, theirs, name(row)) for (mine, _), (theirs, row) in pairwise(told)
    ]
    rank, last = 0, None
    for at, (standing, row) in enumerate(told):
        key = [m.key for m in standing]
        if key != last:
            rank, last = at + 1, key
        yield Ranked(rank, row, partings[at] if at < len(partings) else None)


def _parting(mine: Sequence[Measure], theirs: Sequence[Measure], other: str) -> Parting | None:
    """The first measure after the points that differs, where the points do not."""
    for one, another in zip(mine, theirs, strict=True):
        if one.value != another.value:
            if one.name == "points":
                return None
            return Parting(one.name, one.value, another.value, other)
    return None
