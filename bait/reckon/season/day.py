"""One angler's day as a season is reckoned from it: what went in, and the weight beside others'.

A day counts only where the notes hold the whole of it. What was not noted is not known: it is
never taken as nothing fed.
"""

from __future__ import annotations

import math
from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from itertools import pairwise
from typing import Final, Literal

from bait.reckon.review.notes import silence_most

#: Fewer others in the section than this do not say what was usual there (common practice, no
#: source).
LEAST_BESIDE: Final = 3
#: Of the section's mean weight so much is added to every weight before its logarithm is taken, so
#: that a blank has one: a "started" logarithm (J. W. Tukey, Exploratory Data Analysis, 1977; the
#: share is ours, no source).
STARTED: Final = 0.1
#: Feed from so long before the start belongs to the match, and what is noted so long after its end.
BEFORE_S: Final = 3600
AFTER_S: Final = 900
#: Feeds of one sort within so many seconds are one, of several baits.
ONE_FEED_S: Final = 60

Sort = Literal["bait", "kind", "rate"]
Why = Literal[
    "not_fished", "few_beside", "nobody_caught", "no_notes", "no_feed",
    "clock", "half", "unit", "contrary", "far",
]  # fmt: skip


@dataclass(frozen=True, slots=True, order=True)
class Column:
    """What may go with weight: a bait by its key, a kind of bait together, or a rhythm.

    `unit` is a unit of bait; of a rhythm ("loose" or "balls") it is empty: feeds an hour.
    """

    of: Sort
    key: str
    unit: str = ""


LOOSE: Final = Column("rate", "loose")
BALLS: Final = Column("rate", "balls")


@dataclass(frozen=True, slots=True)
class FeedGiven:
    """One feed `second` after the start, below zero before it. `amount` in the column's unit; None
    where what was noted does not convert to it. `ball`: it went in as balls."""

    second: int
    column: Column
    amount: Fraction | None
    ball: bool


@dataclass(frozen=True, slots=True)
class AnglerDay:
    """One angler in one match of `seconds` length.

    `own` is the weight in any unit, None without one; `others` the weights of who else fished in
    the section. `moments` are the seconds of all notes: feed, fish, lines. `fish` were noted.
    """

    match: str
    angler: str
    seconds: int
    own: int | None
    others: tuple[int, ...]
    feeds: tuple[FeedGiven, ...] = ()
    moments: tuple[int, ...] = ()
    fish: int = 0


@dataclass(frozen=True, slots=True)
class LeftOut:
    """A day that is not reckoned with, and why."""

    match: str
    angler: str
    why: Why


@dataclass(frozen=True, slots=True)
class DayFed:
    """A day that counts: the log of the angler's weight over what was usual in the section, and
    what went in, by column; a column that is not there was not fed."""

    match: str
    angler: str
    log_ratio: float
    fed: dict[Column, float]


def day_fed(day: AnglerDay) -> DayFed | LeftOut:
    """The day, or why it is left out. Raises ValueError for a match of no length or a weight below
    nothing."""
    if day.seconds <= 0:
        raise ValueError("A match lasts longer than nothing.")
    if min([day.own or 0, *day.others]) < 0:
        raise ValueError("No weight is below nothing.")
    why = _result_lacks(day) or _notes_lack(day)
    if why is not None or day.own is None:
        return LeftOut(day.match, day.angler, why or "not_fished")
    return DayFed(day.match, day.angler, log_ratio(day.own, day.others), _fed(day))


def log_ratio(own: int, others: Sequence[int]) -> float:
    """ln of the own weight over the geometric mean of the others', each with the start added.

    0: as usual there; ln 2: twice that. Raises ValueError where nobody caught anything.
    """
    every = [own, *others]
    start = STARTED * sum(every) / len(every)
    if not start or not others:
        raise ValueError("Where nobody caught anything, or nobody else fished, nothing is usual.")
    usual = sum(math.log(weight + start) for weight in others) / len(others)
    return math.log(own + start) - usual


def _result_lacks(day: AnglerDay) -> Why | None:
    if day.own is None:
        return "not_fished"
    if len(day.others) < LEAST_BESIDE:
        return "few_beside"
    return None if day.own or any(day.others) else "nobody_caught"


def _notes_lack(day: AnglerDay) -> Why | None:
    if not day.moments:
        return "no_notes"
    if not day.feeds:
        return "no_feed"
    if min(day.moments) < -BEFORE_S or max(day.moments) > day.seconds + AFTER_S:
        return "clock"
    if not _is_whole(day):
        return "half"
    if any(feed.amount is None or feed.amount <= 0 for feed in day.feeds):
        return "unit"
    return "contrary" if day.fish and not day.own else None


def _is_whole(day: AnglerDay) -> bool:
    """Whether no stretch of the match is silent for longer than a review takes as logged.

    Unlike a review this minds silence in the middle too: a feed of then would be missing.
    """
    silent = silence_most(day.seconds)
    inside = sorted(second for second in day.moments if 0 <= second <= day.seconds)
    edges = [0, *inside, day.seconds]
    return bool(inside) and all(b - a <= silent for a, b in pairwise(edges))


def _fed(day: AnglerDay) -> dict[Column, float]:
    sums: dict[Column, Fraction] = defaultdict(Fraction)
    for feed in day.feeds:
        sums[feed.column] += feed.amount or 0
    rates = {
        column: 3600 * _feeds(day, balls=column == BALLS) / day.seconds for column in (LOOSE, BALLS)
    }
    return {column: float(total) for column, total in sums.items()} | rates


def _feeds(day: AnglerDay, *, balls: bool) -> int:
    """How often balls, or loose feed, went in; several baits at once are one feed."""
    count, last = 0, -math.inf
    for second in sorted(feed.second for feed in day.feeds if feed.ball is balls):
        if second - last >= ONE_FEED_S:
            count, last = count + 1, second
    return count
