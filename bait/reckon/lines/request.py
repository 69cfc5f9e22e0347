"""What was caught on each line, as it is asked about."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction


@dataclass(frozen=True, slots=True)
class LineCatch:
    """One line: the minutes it was fished, its fish, and what they weigh together in grams."""

    name: str
    minutes: Fraction
    fish: int
    grams: int


@dataclass(frozen=True, slots=True)
class LinesRequest:
    """The lines of one angler, and what is believed of any line before it is fished.

    The prior counts as `prior_fish` fish in `prior_minutes` minutes. `minutes_left` and
    `target_g`, what the angler wants to come to in all, go together; None: not asked.
    """

    lines: tuple[LineCatch, ...]
    prior_fish: Fraction
    prior_minutes: Fraction
    minutes_left: Fraction | None = None
    target_g: int | None = None
