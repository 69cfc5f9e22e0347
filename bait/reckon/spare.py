"""How much spare an order needs, from what earlier bags were short of or brought back."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from typing import Final

#: What a plan has until enough is known (common practice, no source).
SPARE_USUAL: Final = 10
SPARE_MOST: Final = 100
#: Fewer matches or bags say more of one day than of the team (common practice, no source).
MATCHES_LEAST: Final = 3
BAGS_LEAST: Final = 10
#: Spare goes in these steps, and is enough for so many of ten bags (common practice, no source).
STEP: Final = 5
ENOUGH_OF_TEN: Final = 9


@dataclass(frozen=True, slots=True)
class BagUsed:
    """One bait of one bag: what was used as a share of what was planned without spare.

    `emptied`: nothing came back, so that more might have been used.
    """

    match: int
    share: Fraction
    emptied: bool = False


@dataclass(frozen=True, slots=True)
class Spare:
    """`percent` of spare: `learnt` from `bags` of `matches`, or else the usual one.

    `enough` of the bags would have been covered by it; `emptied` of them came back empty.
    """

    percent: int
    learnt: bool
    matches: int
    bags: int
    enough: int = 0
    emptied: int = 0


def spare_suggest(bags: Sequence[BagUsed]) -> Spare:
    """The least spare, in steps of 5 %, that would have been enough for 9 bags of 10.

    An emptied bag counts as having needed exactly what was in it, which is the least it can have
    needed. Below 3 matches or 10 bags nothing is said and the usual spare stays. The rule is common
    practice, no source.
    """
    matches, emptied = len({bag.match for bag in bags}), sum(bag.emptied for bag in bags)
    if matches < MATCHES_LEAST or len(bags) < BAGS_LEAST:
        return Spare(SPARE_USUAL, learnt=False, matches=matches, bags=len(bags), emptied=emptied)
    percent = next(
        (
            percent
            for percent in range(0, SPARE_MOST, STEP)
            if 10 * _enough(bags, percent=percent) >= ENOUGH_OF_TEN * len(bags)
        ),
        SPARE_MOST,
    )
    return Spare(
        percent,
        learnt=True,
        matches=matches,
        bags=len(bags),
        enough=_enough(bags, percent=percent),
        emptied=emptied,
    )


def _enough(bags: Sequence[BagUsed], *, percent: int) -> int:
    return sum(100 * bag.share <= 100 + percent for bag in bags)
