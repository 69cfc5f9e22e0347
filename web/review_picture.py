"""The picture of a day at the peg: weight as it grew, fish, feed, and changes on one axis of time.

Only geometry is worked out here; the template draws it, and tables on the page say the same.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from fractions import Fraction
from typing import Final

from bait.reads.review import Review
from bait.reckon.review import Block
from web.picture_parts import HUES, tick_step

from .review_words import clock, line_name

WIDTH: Final = 340
PLOT: Final = 150
TOP: Final = 18
FISH_TOP: Final = TOP + PLOT + 8
FISH_DEEP: Final = 34
ROW: Final = 26
DOT: Final = 3.5
CIRCLE: Final = f"a{DOT} {DOT} 0 1 1 {2 * DOT} 0a{DOT} {DOT} 0 1 1 {-2 * DOT} 0"
TICK_MINUTES: Final = (15, 30, 60, 120, 240)


@dataclass(frozen=True, slots=True)
class Bar:
    """A stretch of one rate: the higher the more fish an hour."""

    x: str
    y: str
    wide: str
    deep: str


@dataclass(frozen=True, slots=True)
class FeedRow:
    """One bait on one line: its name, and a dot where each feed is, all in one path."""

    name: str
    hue: int
    text_y: int
    dots: str


@dataclass(frozen=True, slots=True)
class Mark:
    """A moment with words: a switch, a change or a full hour."""

    x: str
    words: str
    anchor: str = "middle"


@dataclass(frozen=True, slots=True)
class ReviewPicture:
    """Everything the page draws. Numbers are text, so that no locale turns a point into a comma."""

    width: int
    height: int
    plot_top: int
    plot_base: int
    fish_base: int
    own: str
    first: str
    fish: str
    bars: tuple[Bar, ...]
    feeds: tuple[FeedRow, ...]
    switches: tuple[Mark, ...]
    last_call: str
    changes: tuple[Bar, ...]
    ticks: tuple[Mark, ...]
    axis_y: int
    dark: tuple[Bar, ...]


def review_picture(review: Review) -> ReviewPicture:
    """The picture of a review. Only what lies within the match is drawn."""
    draw = _Drawing(review)
    feeds = tuple(draw.feeds())
    height = FISH_TOP + FISH_DEEP + ROW * len(feeds) + 30
    return ReviewPicture(
        width=WIDTH,
        height=height,
        plot_top=TOP,
        plot_base=TOP + PLOT,
        fish_base=FISH_TOP + FISH_DEEP,
        own=draw.own(),
        first=draw.first(),
        fish="".join(draw.fish()),
        bars=tuple(draw.bars()),
        feeds=feeds,
        switches=tuple(draw.switches()),
        last_call=draw.last_call(),
        changes=tuple(draw.changes(height)),
        ticks=tuple(draw.ticks()),
        axis_y=height - 8,
        dark=tuple(draw.dark(height)),
    )


class _Drawing:
    def __init__(self, review: Review) -> None:
        self.review, self.day, self.end = review, review.day, review.notes.end
        most = self._guess(max((about for _second, about in self.day.running), default=0))
        self.most = max(most, review.notes.weighed or 0, self._first_weight(), 1)

    def _guess(self, about: int) -> int:
        """A guess as it is drawn: so that it ends at what the scales said."""
        return round(about * (self.day.factor or Fraction(1)))

    def _first_weight(self) -> int:
        return (self.review.first.weight or 0) if self.review.first else 0

    def x(self, second: float) -> float:
        return WIDTH * min(max(second, 0), self.end) / self.end

    def y(self, weight: float) -> float:
        return TOP + PLOT * (1 - weight / self.most)

    def own(self) -> str:
        """The guessed weight as steps."""
        if not self.day.running:
            return ""
        parts = [f"M{_n(self.x(self.day.watched.start))} {_n(self.y(0))}"]
        for second, about in self.day.running:
            parts.append(f"H{_n(self.x(second))}V{_n(self.y(self._guess(about)))}")
        parts.append(f"H{_n(self.x(self.day.watched.end))}")
        return "".join(parts)

    def first(self) -> str:
        """The section's first as if the weight had come evenly: only its end is known."""
        first, own = self.review.first, self.review.own
        if first is None or own is None or first.entry == own.entry or not first.weight:
            return ""
        return f"M0 {_n(self.y(0))}L{WIDTH} {_n(self.y(first.weight))}"

    def fish(self) -> Iterable[str]:
        """One stroke a note, all in one path: a day may have hundreds."""
        for one in self.review.notes.fish:
            if 0 <= one.second <= self.end:
                deep = min(FISH_DEEP, 10 + 4 * one.count)
                yield f"M{_n(self.x(one.second))} {FISH_TOP + FISH_DEEP}v-{deep}"

    def bars(self) -> Iterable[Bar]:
        most = max((block.per_hour for block in self.day.blocks), default=0.0)
        for block in self.day.blocks:
            deep = FISH_DEEP * block.per_hour / most if most else 0.0
            yield self._bar(block, top=FISH_TOP + FISH_DEEP - deep, deep=deep)

    def _bar(self, block: Block, *, top: float, deep: float) -> Bar:
        left, right = self.x(block.start), self.x(block.end)
        return Bar(_n(left), _n(top), _n(right - left), _n(deep))

    def feeds(self) -> Iterable[FeedRow]:
        keys = sorted({(fed.line, fed.bait) for fed in self.review.notes.feeds})
        for n, (line, bait) in enumerate(keys):
            name = self.review.names.get(bait, bait)
            base = FISH_TOP + FISH_DEEP + ROW * n
            yield FeedRow(
                name=f"{name}, {line_name(line)}" if line else name,
                hue=n % HUES,
                text_y=base + 13,
                dots="".join(
                    f"M{_n(self.x(fed.second) - DOT)} {base + 21}{CIRCLE}"
                    for fed in self.review.notes.feeds
                    if (fed.line, fed.bait) == (line, bait) and fed.second <= self.end
                ),
            )

    def switches(self) -> Iterable[Mark]:
        for one in self.review.notes.switches:
            if 0 <= one.second <= self.end:
                x = self.x(one.second)
                yield Mark(_n(x), line_name(one.line), "end" if x > WIDTH * 0.7 else "start")

    def last_call(self) -> str:
        """Where the last warning came; empty where there was none within the match."""
        at = self.review.last_call
        return _n(self.x(at)) if 0 < at < self.end else ""

    def changes(self, height: int) -> Iterable[Bar]:
        for seen in self.day.changes:
            left, right = (self.x(second) for second in seen.change.second_90)
            yield Bar(_n(left), str(TOP), _n(max(2.0, right - left)), str(height - TOP - 24))

    def dark(self, height: int) -> Iterable[Bar]:
        """What was not logged."""
        watched = self.day.watched
        for start, end in ((0, watched.start), (watched.end, self.end)):
            if start < end:
                left, right = self.x(start), self.x(end)
                yield Bar(_n(left), str(TOP), _n(right - left), str(height - TOP - 24))

    def ticks(self) -> Iterable[Mark]:
        minutes = self.end // 60
        step = tick_step(minutes, steps=TICK_MINUTES)
        for minute in range(0, minutes + 1, step):
            x = self.x(minute * 60)
            anchor = "start" if x < 12 else "end" if x > WIDTH - 16 else "middle"
            yield Mark(_n(x), clock(self.review, minute * 60), anchor)


def _n(value: float) -> str:
    return f"{value:.1f}"
