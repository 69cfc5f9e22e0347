"""A file of pegs beside what the venue has now: what its import would change."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from matches.models import Peg, Venue
from matches.reckon.bank_order import order_merged
from matches.reckon.peg_fields import PegLine, PegValue

from .venues import peg_line, pegs_of


@dataclass(frozen=True, slots=True)
class PegCompared:
    """A peg of the file, the venue's own (None for a new one), and by column what differs:
    (before, after)."""

    line: PegLine
    peg: Peg | None
    differs: Mapping[str, tuple[PegValue, PegValue]]


@dataclass(frozen=True, slots=True)
class PegsCompared:
    """What is new, differs, comes back, stays, is in the file no longer; `order` is every number
    downstream afterwards, `moved` whether pegs that are there change places."""

    new: tuple[PegCompared, ...]
    changed: tuple[PegCompared, ...]
    back: tuple[PegCompared, ...]
    same: tuple[PegCompared, ...]
    gone: tuple[Peg, ...]
    order: tuple[str, ...]
    moved: bool

    @property
    def anything(self) -> bool:
        return bool(self.new or self.changed or self.back or self.moved)


def pegs_compare(venue: Venue, *, lines: Sequence[PegLine]) -> PegsCompared:
    """Compare a file's pegs with the venue's, by number: one query."""
    pegs = list(pegs_of(venue))
    known = {peg.number: peg for peg in pegs}
    sorts: dict[str, list[PegCompared]] = {"new": [], "changed": [], "back": [], "same": []}
    for line in lines:
        compared = _compared(line, known.get(line.number))
        sorts[_sort(compared)].append(compared)
    listed = [line.number for line in lines]
    now = [peg.number for peg in pegs]
    return PegsCompared(
        **{name: tuple(found) for name, found in sorts.items()},
        gone=tuple(peg for peg in pegs if not peg.retired and peg.number not in set(listed)),
        order=order_merged(now, listed=listed),
        moved=order_merged(now, listed=[n for n in listed if n in known]) != tuple(now),
    )


def _compared(line: PegLine, peg: Peg | None) -> PegCompared:
    before = peg_line(peg).values if peg else {}
    return PegCompared(
        line,
        peg,
        {
            name: (before.get(name), value)
            for name, value in line.values.items()
            if before.get(name) != value and (peg or value)
        },
    )


def _sort(compared: PegCompared) -> str:
    if compared.peg is None:
        return "new"
    if compared.peg.retired:
        return "back"
    return "changed" if compared.differs else "same"
