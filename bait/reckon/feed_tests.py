"""Jar tests: how fast a feed sinks by the drops that were timed, and whose test counts."""

from __future__ import annotations

import statistics
from collections.abc import Iterable
from dataclasses import dataclass
from typing import Final

from .placement import Timed

#: From and to: centimetres of water in a jar.
JAR_CM: Final = (5, 200)
#: Nothing falls through a jar in less: that was a finger, not a bait.
QUICKEST_MS: Final = 200
SLOWEST_MS: Final = 600_000
#: What sinks slower hangs in the water, and what is quicker was measured wrongly; mm/s.
SINK_MM_S: Final = (1.0, 5_000.0)
#: From so many drops on a test says how far single ones stray (from memory).
FULL_DROPS: Final = 3
#: Of a longer test the last so many count.
DROPS_MOST: Final = 100


@dataclass(frozen=True, slots=True)
class Drop:
    """One drop through a jar: `ms` for `jar_cm` of water; `ms` is None where it floats."""

    jar_cm: int
    ms: int | None


@dataclass(frozen=True, slots=True)
class FeedTest:
    """One person's drops of one bait in one match, in their order. `date` is the match's, ISO."""

    bait: str
    match: int
    author: int
    date: str
    drops: tuple[Drop, ...]

    @property
    def floats(self) -> bool:
        """Whether more of the drops float than sink."""
        counted = self.drops[-DROPS_MOST:]
        return 2 * sum(drop.ms is None for drop in counted) > len(counted)

    @property
    def sinks(self) -> Timed | None:
        """Mean sink speed in m/s, and how far single ones stray; None where the feed floats."""
        if self.floats or not self.drops:
            return None
        counted = self.drops[-DROPS_MOST:]
        speeds = [drop.jar_cm * 10 / drop.ms for drop in counted if drop.ms is not None]
        sd = statistics.stdev(speeds) if len(speeds) > 1 else 0.0
        return Timed(statistics.fmean(speeds), sd)


def feed_test_chosen(
    tests: Iterable[FeedTest], *, own: int, aside: frozenset[tuple[int, int]] = frozenset()
) -> FeedTest | None:
    """The test of a bait that counts; `aside` holds (match, author) of those left aside.

    The newest test of three drops or more; while there is none, the one of most drops. On the
    same day the one of more drops, then one's own.
    """
    left = [test for test in tests if test.drops and (test.match, test.author) not in aside]
    return max(left, key=lambda test: _weight(test, own), default=None)


def _weight(test: FeedTest, own: int) -> tuple[bool, str, int, str, bool, int, int]:
    full = len(test.drops) >= FULL_DROPS
    by_day = test.date if full else ""
    mine = test.author == own
    return (full, by_day, len(test.drops), test.date, mine, test.match, -test.author)
