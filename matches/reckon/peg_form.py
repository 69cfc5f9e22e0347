"""How pegs of a venue have fished against the others of their sections, match by match."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from fractions import Fraction
from typing import Final, Literal

from .form import Believed, Seen, form_of
from .form_within import SeenWithin, form_within

#: On fewer matches no peg is called anything.
LEAST_MATCHES: Final = 5
HALF: Final = Fraction(1, 2)
Verdict = Literal["good", "hard", "even", "few"]


@dataclass(frozen=True, slots=True)
class Finish:
    """One peg in one match: its place in its section, ties shared (2.5), of so many placed."""

    peg: str
    place: Fraction
    of: int


@dataclass(frozen=True, slots=True)
class PegForm:
    """One peg: in how many matches, the mean share of its section it beat, and what is believed.

    `good`: nine times in ten it beats more than half in the long run; `hard`: fewer. `few` where it
    was not fished often enough to say.
    """

    peg: str
    matches: int
    beaten: Fraction
    believed: Believed
    verdict: Verdict


def peg_forms(finishes: Iterable[Finish]) -> dict[str, PegForm] | None:
    """Each peg's form, drawn in towards the mean of all pegs (see `form_of`).

    A peg that beat b of n - 1 others has a share of b/(n - 1). Were all pegs and people alike, its
    places would be as likely each as any other: a mean of one half and a variance of
    (n + 1)/(12·(n - 1)), that of a discrete uniform distribution. Who sat there has as much to do
    with it as the peg; over many draws that evens out. Sections of one are left out. None where
    fewer pegs were fished than anything can be said of.
    """
    by_peg = _by_peg(finishes)
    form = form_of([_seen(seen) for seen in by_peg.values()])
    if form is None:
        return None
    return {
        peg: PegForm(peg, len(seen), _mean(seen), believed, _verdict(believed, len(seen)))
        for (peg, seen), believed in zip(by_peg.items(), form.groups, strict=True)
    }


def pegs_seen(finishes: Iterable[Finish]) -> dict[str, Seen]:
    """The share that each peg beat, not drawn in, and its variance by luck as `peg_forms` has
    it."""
    return {peg: _seen(seen) for peg, seen in _by_peg(finishes).items()}


def peg_forms_when(finishes: Mapping[str, Iterable[Finish]]) -> dict[tuple[str, str], PegForm]:
    """Each peg's form under each condition (a season, a level of the river) by peg and condition.

    Drawn in towards the peg's own form under all of them, and that towards the mean of all pegs
    (see `form_within`). A section is fished under one condition, so no condition is better for all
    pegs at once: one half stays the middle. Empty where fewer pegs were fished than anything can
    be said of.
    """
    cells = {
        (peg, condition): seen
        for condition, of in finishes.items()
        for peg, seen in _by_peg(of).items()
    }
    form = form_within(
        [
            SeenWithin(*cell, one.mean, one.variance)
            for cell, seen in cells.items()
            for one in [_seen(seen)]
        ],
        most=float(HALF),
    )
    if form is None:
        return {}
    return {
        cell: PegForm(cell[0], len(seen), _mean(seen), believed, _verdict(believed, len(seen)))
        for (cell, seen), believed in zip(cells.items(), form, strict=True)
    }


def _by_peg(finishes: Iterable[Finish]) -> dict[str, list[Finish]]:
    by_peg: dict[str, list[Finish]] = defaultdict(list)
    for one in finishes:
        if one.of > 1:
            by_peg[one.peg].append(one)
    return by_peg


def _mean(seen: list[Finish]) -> Fraction:
    return sum(map(_beaten, seen), Fraction(0)) / len(seen)


def _beaten(one: Finish) -> Fraction:
    return (one.of - one.place) / (one.of - 1)


def _seen(seen: list[Finish]) -> Seen:
    single = sum(Fraction(one.of + 1, 12 * (one.of - 1)) for one in seen)
    return Seen(float(_mean(seen)), float(single / len(seen) ** 2))


def _verdict(believed: Believed, matches: int) -> Verdict:
    if matches < LEAST_MATCHES:
        return "few"
    if believed.low > HALF:
        return "good"
    return "hard" if believed.high < HALF else "even"
