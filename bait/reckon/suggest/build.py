"""From amounts to a plan: one mix, its balls, loose feed on one or two lines, hook baits."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from fractions import Fraction
from typing import Final

from bait.reckon.mix.balls import ball_litres
from bait.reckon.plans import (
    BaitFacts,
    Balls,
    Feed,
    MixPart,
    PlannedMix,
    PlannedStage,
    throws_count,
)
from bait.reckon.units import COUNT, amount_convert, unit_sort

from .request import DRY, FED, HOOKED, LOAD, SOIL, Lines

MIX_NAME: Final = "base"
OPENING_MINUTES: Final = 5
#: An amount a hand can tell from nothing, in any unit that is not counted.
LEAST: Final = Fraction(1, 100)

#: By bait and use: amounts in the bait's own unit.
Amounts = Mapping[tuple[str, str], Fraction]


@dataclass(frozen=True, slots=True)
class Shape:
    """What a plan is like beside its amounts. `mix` holds how the mix behaves, without parts."""

    minutes: int
    balls: int
    ball_mm: int
    every_seconds: int
    quiet_minutes: int
    lines: Lines
    mix: PlannedMix


def plan_built(
    amounts: Amounts, *, shape: Shape, baits: Mapping[str, BaitFacts]
) -> tuple[tuple[PlannedMix, ...], tuple[PlannedStage, ...]]:
    """Mixes and stages that need no more of any bait than the amounts; all is rounded down to what
    a person can measure. No more balls than the mix makes."""
    mix = _mix(amounts, shape=shape, baits=baits)
    count = min(shape.balls, _balls_possible(mix, shape=shape, baits=baits))
    stages = [_opening(amounts, count=count, shape=shape, baits=baits)] if count else []
    stages += _feeding(amounts, shape=shape, baits=baits)
    hooked = _feeds(amounts, HOOKED, baits=baits)
    if hooked:
        stages.append(PlannedStage(0, shape.minutes, None, hooked, kind="hook"))
    return ((mix,) if count else ()), tuple(stages)


def ready_litres(mix: PlannedMix, *, baits: Mapping[str, BaitFacts]) -> Fraction:
    """Loose litres the mix makes; parts that nobody can turn into litres count as none."""
    return sum(
        (_litres(part, baits=baits) * (1 if part.after_rest else mix.swell) for part in mix.parts),
        Fraction(0),
    )


def _mix(amounts: Amounts, *, shape: Shape, baits: Mapping[str, BaitFacts]) -> PlannedMix:
    parts = [
        MixPart(feed.bait, feed.amount, feed.unit, after_rest=use == SOIL)
        for use in (DRY, SOIL)
        for feed in _feeds(amounts, use, baits=baits)
    ]
    return replace(shape.mix, name=MIX_NAME, parts=tuple(parts))


def _balls_possible(mix: PlannedMix, *, shape: Shape, baits: Mapping[str, BaitFacts]) -> int:
    """How many balls the mix makes, without what is loaded into them."""
    ready = ready_litres(mix, baits=baits)
    return int(ready * mix.squeeze / ball_litres(Fraction(shape.ball_mm, 1000)))


def _litres(part: MixPart, *, baits: Mapping[str, BaitFacts]) -> Fraction:
    density = baits[part.bait].density
    return amount_convert(part.amount, unit=part.unit, to="L", density=density) or Fraction(0)


def _opening(
    amounts: Amounts, *, count: int, shape: Shape, baits: Mapping[str, BaitFacts]
) -> PlannedStage:
    part = Fraction(count, shape.balls)
    loads = {key: amount * part for key, amount in amounts.items()}
    return PlannedStage(
        start_minute=-OPENING_MINUTES,
        end_minute=0,
        every_seconds=None,
        feeds=_feeds(loads, LOAD, baits=baits),
        kind="opening",
        line=shape.lines.first,
        balls=Balls(count, shape.ball_mm, MIX_NAME),
    )


def _feeding(
    amounts: Amounts, *, shape: Shape, baits: Mapping[str, BaitFacts]
) -> list[PlannedStage]:
    """Loose feed, the same at every throw: on the first line, then on the second.

    Where a throw would be too small to measure, fewer are made.
    """
    fed = {key: amount for key, amount in amounts.items() if key[1] == FED}
    every = shape.every_seconds
    while True:
        stages = _spans(shape, every=every)
        throws = sum(throws_count(stage) for stage in stages)
        each = {key: amount / throws for key, amount in fed.items()}
        enough = all(each[bait, use] >= _least(baits[bait].unit) for bait, use in fed)
        if enough or throws <= len(stages):
            break
        every *= 2
    feeds = _feeds(each, FED, baits=baits)
    return [replace(stage, feeds=feeds) for stage in stages] if feeds else []


def _spans(shape: Shape, *, every: int) -> list[PlannedStage]:
    """Stages without feed yet; one at least."""
    lines = shape.lines
    last = max(1, shape.minutes - shape.quiet_minutes)
    turn = min(max(0, lines.minute), last) if lines.second else last
    spans = [("feed", lines.first, 0, turn)] if turn else []
    if turn < last:
        spans.append(("switch", lines.second, turn, last))
    return [
        PlannedStage(start, end, every, (), kind=kind, line=line)
        for kind, line, start, end in spans
    ]


def _least(unit: str) -> Fraction:
    """A throw as small as a person still measures: of a pint, about a pinch."""
    return Fraction(1) if unit_sort(unit) == COUNT else 2 * LEAST


def _feeds(amounts: Amounts, use: str, *, baits: Mapping[str, BaitFacts]) -> tuple[Feed, ...]:
    found = []
    for (bait, of), amount in amounts.items():
        unit = baits[bait].unit
        measured = amount_measured(amount, unit=unit)
        if of == use and measured > 0:
            found.append(Feed(bait, measured, unit))
    return tuple(found)


def amount_measured(amount: Fraction, *, unit: str) -> Fraction:
    """Rounded down to the hundredth, of what is counted to whole pieces."""
    step = Fraction(1) if unit_sort(unit) == COUNT else LEAST
    return amount // step * step
