"""How good the guesses at the fish were, where the scales say what they came to."""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass
from typing import Final

from matches.reckon.form import Z90

from .notes import FishNoted

#: How much a fish's weight differs from what its size usually weighs, as a part of that. A size
#: stands for a length, and reaches halfway to the next one: roach of 18 cm, between 12 and 25, are
#: 15 to 21.5 cm, a standard deviation of 1.88 cm, and by W = a·L^3.108 (159 fish of 1917) about
#: 3.108·1.88/18 = 0.32 of the weight.
SPREAD: Final = 1 / 3
#: On fewer fish with a guess, one good fish decides.
LEAST_FISH: Final = 5


@dataclass(frozen=True, slots=True)
class GuessChecked:
    """What was guessed and what the scales said; `ratio` of the second to the first, nine times in
    ten between `low` and `high` by how fish of one size vary. `verdict` says how the guesses ran.
    """

    about: int
    weighed: int
    ratio: float
    low: float
    high: float

    @property
    def verdict(self) -> str:
        """ "light" and "heavy" where luck alone would not do it, else "right"."""
        if self.low > 1:
            return "light"
        return "heavy" if self.high < 1 else "right"


def guess_checked(fish: Iterable[FishNoted], *, weighed: int | None) -> GuessChecked | None:
    """The guesses against the scales, as if every fish was noted; None where nothing was weighed,
    a fish has no guess, or there are fewer than LEAST_FISH.

    Fish vary one by one, so their sum varies by SPREAD·√(Σ n·w²) for n fish of guess w each.
    """
    noted = list(fish)
    if not weighed or any(not one.about for one in noted):
        return None
    if sum(one.count for one in noted) < LEAST_FISH:
        return None
    guesses = [(one.count, (one.about or 0) / one.count) for one in noted]
    about = sum(one.about or 0 for one in noted)
    part = Z90 * SPREAD * math.sqrt(sum(n * each**2 for n, each in guesses)) / about
    ratio = weighed / about
    # A few heavy fish may be worth nearly all of it: then no upper bound is known.
    high = ratio / (1 - part) if part < 1 else math.inf
    return GuessChecked(about, weighed, ratio, ratio / (1 + part), high)
