"""What became of a bait: planned, in the bag, fed, left over, and whether that adds up."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from typing import Final

#: What a bag misses or has too much adds up all the same within this part of it: nobody measures
#: a handful closer (common practice, no source).
CLOSE: Final = Fraction(1, 20)


@dataclass(frozen=True, slots=True)
class BaitKnown:
    """What is known of one bait of one bag, in its own unit; None where nobody said.

    `planned` is without the spare, `had` what was handed out, `fed` what was noted as fed, `left`
    what came back. `unnoted` is what the plan wets in a mix or puts on the hook: nobody notes that,
    so it counts as planned. `emptied`: nothing came back of it, while other bait of the bag did.
    """

    planned: Fraction | None = None
    had: Fraction | None = None
    unnoted: Fraction = Fraction(0)
    fed: Fraction | None = None
    left: Fraction | None = None
    emptied: bool = False

    @property
    def used(self) -> Fraction | None:
        """What went in, or away: what was had less what came back."""
        if self.had is None or self.left is None:
            return None
        return max(Fraction(0), self.had - self.left)

    @property
    def gap(self) -> Fraction | None:
        """What of the bag nobody accounts for; below zero, what was fed and left beyond it.

        Of what was meant for mix and hook as much was used as is not fed and not left, and no more
        than was planned. None while a part of it is not known.
        """
        if self.had is None or self.fed is None or self.left is None:
            return None
        rest = self.had - self.fed - self.left
        return rest if rest < 0 else max(Fraction(0), rest - self.unnoted)

    @property
    def adds_up(self) -> bool | None:
        """Whether the gap is small beside the bag; None where it is not known."""
        gap = self.gap
        if gap is None or self.had is None:
            return None
        return abs(gap) <= self.had * CLOSE


@dataclass(frozen=True, slots=True)
class PartlyKnown:
    """A sum of what `known` of `of` bags say."""

    amount: Fraction
    known: int
    of: int


def partly_known(amounts: Sequence[Fraction | None]) -> PartlyKnown:
    """What is known of the amounts, and of how many."""
    known = [amount for amount in amounts if amount is not None]
    return PartlyKnown(sum(known, Fraction(0)), len(known), len(amounts))
