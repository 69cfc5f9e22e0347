"""Pegs of the day cut into sections: even runs along the bank, boundaries moved, end pegs.

Pegs are given downstream. Sections run down the bank of the first peg, then down the other; that
order is called the walk.
"""

from __future__ import annotations

from collections.abc import Collection, Iterator, Sequence
from dataclasses import dataclass
from itertools import accumulate, pairwise
from string import ascii_uppercase
from typing import Final

from .errors import BadInput, Fault

#: Pegs a section needs: alone nobody is placed against anybody.
LEAST_PEGS: Final = 2
#: Some rules leave out the pegs so near to overhead lines, on each side of them.
LINES_WITHIN_M: Final = 25


@dataclass(frozen=True, slots=True)
class BankPeg:
    """One peg: `side` is left, right or empty; `along_m` is metres from the venue's first peg."""

    number: str
    side: str = ""
    along_m: int | None = None
    power_lines: bool = False


@dataclass(frozen=True, slots=True)
class SectionRun:
    """A section: its label and its pegs' numbers in the order of the walk."""

    label: str
    pegs: tuple[str, ...]


def banks_walked(pegs: Sequence[BankPeg]) -> tuple[tuple[BankPeg, ...], ...]:
    """The pegs of each bank downstream, the first peg's bank first.

    A peg whose side is not said is taken to be on the bank of the peg before it.
    """
    first = next((peg.side for peg in pegs if peg.side), "")
    sides = list(accumulate((peg.side for peg in pegs), lambda a, b: b or a, initial=first))[1:]
    banks: dict[str, list[BankPeg]] = {}
    for side, peg in zip(sides, pegs, strict=True):
        banks.setdefault(side, []).append(peg)
    return tuple(tuple(bank) for bank in banks.values())


def runs_even(pegs: Sequence[BankPeg], *, sections: int) -> tuple[SectionRun, ...]:
    """The pegs cut into so many runs whose sizes differ by at most one, labelled A, B, C, …

    The larger runs come first, unless another order of the same sizes lets every run keep to one
    bank. Raises BadInput where a section would have fewer than two pegs.
    """
    most = len(pegs) // LEAST_PEGS
    if not 1 <= sections <= most:
        raise BadInput(Fault("/sections", _count_words(len(pegs), most=most)))
    banks = banks_walked(pegs)
    numbers = [peg.number for bank in banks for peg in bank]
    sizes = _sizes(len(pegs), sections=sections, first_bank=len(banks[0]))
    ends = pairwise([0, *accumulate(sizes)])
    return tuple(
        SectionRun(section_label(n), tuple(numbers[begin:end]))
        for n, (begin, end) in enumerate(ends)
    )


def _sizes(pegs: int, *, sections: int, first_bank: int) -> list[int]:
    small, larger = divmod(pegs, sections)
    for here in range(1, sections + 1):
        larger_here = first_bank - here * small
        there, larger_there = sections - here, larger - larger_here
        if 0 <= larger_here <= here and 0 <= larger_there <= there:
            return [
                *_larger_first(small, count=here, larger=larger_here),
                *_larger_first(small, count=there, larger=larger_there),
            ]
    return _larger_first(small, count=sections, larger=larger)


def _larger_first(small: int, *, count: int, larger: int) -> list[int]:
    return [small + 1] * larger + [small] * (count - larger)


def _count_words(pegs: int, *, most: int) -> str:
    if not most:
        return "There are not two pegs to fish: add pegs, or bring some back that are left out."
    return f"{pegs} pegs make 1 to {most} sections: a section has two pegs or more."


def section_label(n: int) -> str:
    """A for 0, Z for 25, then AA, AB, …"""
    letters = ""
    n += 1
    while n:
        n, letter = divmod(n - 1, 26)
        letters = ascii_uppercase[letter] + letters
    return letters


def boundary_move(
    runs: Sequence[SectionRun], *, after: int, downstream: bool
) -> tuple[SectionRun, ...]:
    """The boundary after section number `after` (from 0) moved by one peg along the walk.

    Raises BadInput where there is no such boundary, or a section would be left with one peg.
    """
    if not 0 <= after < len(runs) - 1:
        raise BadInput(Fault("", "There is no boundary between sections here: look again."))
    cut = len(runs[after].pegs) + (1 if downstream else -1)
    return _boundary_put(runs, after=after, cut=cut)


def boundary_to(runs: Sequence[SectionRun], *, peg: str) -> tuple[SectionRun, ...]:
    """The nearer end of the peg's section moved to the peg; what is cut off joins the next one.

    At the ends of the water only the other end can move. Raises BadInput where the peg is in no
    section, there is but one, or a section would be left with fewer than two pegs.
    """
    at = next((n for n, run in enumerate(runs) if peg in run.pegs), None)
    if at is None:
        raise BadInput(Fault("/to", "This peg is in no section: type it into one."))
    if len(runs) == 1:
        raise BadInput(Fault("/to", "There is one section only: nothing to move."))
    pegs = runs[at].pegs
    place = pegs.index(peg)
    begins = at > 0 and (place * 2 < len(pegs) or at == len(runs) - 1)
    if begins:
        return _boundary_put(runs, after=at - 1, cut=len(runs[at - 1].pegs) + place)
    return _boundary_put(runs, after=at, cut=place + 1)


def _boundary_put(runs: Sequence[SectionRun], *, after: int, cut: int) -> tuple[SectionRun, ...]:
    """The pegs of two neighbours with `cut` of them in the first."""
    up, down = runs[after], runs[after + 1]
    pegs = (*up.pegs, *down.pegs)
    moved = (SectionRun(up.label, pegs[:cut]), SectionRun(down.label, pegs[cut:]))
    for run in moved:
        if len(run.pegs) < LEAST_PEGS:
            raise BadInput(
                Fault(
                    "",
                    f"Section {run.label} would be left with fewer than two pegs, and nobody there "
                    "would be placed against anybody. Suggest fewer sections instead.",
                )
            )
    return (*runs[:after], *moved, *runs[after + 2 :])


def end_pegs(pegs: Sequence[BankPeg], *, fished: Collection[str]) -> frozenset[str]:
    """The fished pegs that have nobody beside them upstream or downstream on their own bank."""
    return frozenset(_end_pegs(banks_walked(pegs), fished=frozenset(fished)))


def _end_pegs(banks: Sequence[Sequence[BankPeg]], *, fished: frozenset[str]) -> Iterator[str]:
    for bank in banks:
        numbers = ["", *(peg.number for peg in bank), ""]
        for before, number, after in zip(numbers, numbers[1:], numbers[2:], strict=False):
            if number in fished and not {before, after} <= fished:
                yield number


def pegs_near_lines(pegs: Sequence[BankPeg], *, within_m: int = LINES_WITHIN_M) -> tuple[str, ...]:
    """The pegs marked as under power lines, and those within so many metres of a marked one.

    Lines cross the river: both banks count. Where no distance is known only the mark does.
    """
    lines = [peg.along_m for peg in pegs if peg.power_lines and peg.along_m is not None]
    return tuple(
        peg.number
        for peg in pegs
        if peg.power_lines
        or (peg.along_m is not None and any(abs(peg.along_m - at) <= within_m for at in lines))
    )
