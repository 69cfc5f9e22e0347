"""How much of each bait is in by each minute of the match, as a plan means it."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction

from .plans import (
    MIX,
    THROW_ML,
    BaitFacts,
    Feed,
    PlannedMix,
    PlannedStage,
    Throws,
    feed_amount,
    throws_count,
)


@dataclass(frozen=True, slots=True)
class Ramp:
    """`amount` goes in evenly from minute `start` to `end`; at once where they are the same."""

    start: int
    end: int
    amount: Fraction
    use: str

    def by(self, minute: Fraction) -> Fraction:
        """What of it is in by `minute`."""
        if minute >= self.end:
            return self.amount
        if minute <= self.start:
            return Fraction(0)
        return self.amount * (minute - self.start) / (self.end - self.start)


@dataclass(frozen=True, slots=True)
class BaitCurve:
    """One bait's way into the water, in its own unit and without spare.

    `unplaced` is what waits in a mix of which no stage makes balls.
    """

    bait: str
    unit: str
    ramps: tuple[Ramp, ...]
    unplaced: Fraction

    @property
    def total(self) -> Fraction:
        return sum((ramp.amount for ramp in self.ramps), Fraction(0))

    def by(self, minute: int | Fraction) -> Fraction:
        """What is in by `minute`; at its first minute, what goes in at once counts."""
        return sum((ramp.by(Fraction(minute)) for ramp in self.ramps), Fraction(0))

    @property
    def corners(self) -> tuple[tuple[int, Fraction], ...]:
        """Points that straight lines join: (minute, in by then), upwards where it goes at once."""
        points: list[tuple[int, Fraction]] = []
        for minute in sorted({m for ramp in self.ramps for m in (ramp.start, ramp.end)}):
            at_once = sum((r.amount for r in self.ramps if r.start == r.end == minute), Fraction(0))
            reached = self.by(minute)
            if at_once:
                points.append((minute, reached - at_once))
            points.append((minute, reached))
        return tuple(points)


def plan_curves(
    stages: Sequence[PlannedStage],
    *,
    baits: Mapping[str, BaitFacts],
    mixes: Sequence[PlannedMix] = (),
    throws: Throws = THROW_ML,
) -> tuple[BaitCurve, ...]:
    """A curve for each bait, by key. A rhythm counts as even; what goes in once, as even over its
    minutes. A mix goes in with the balls made of it, shared by their volume. Raises BadInput as
    `plan_totals` does.
    """
    ramps: dict[str, list[Ramp]] = {}
    unplaced: dict[str, Fraction] = {}
    for stage in stages:
        for feed in stage.feeds:
            each = feed_amount(feed, baits=baits, throws=throws)
            _add(ramps, stage, bait=feed.bait, amount=each * throws_count(stage), use=stage.use)
    for mix in mixes:
        shares = _ball_shares(stages, mix=mix.name)
        for part in mix.parts:
            whole = feed_amount(Feed(part.bait, part.amount, part.unit), baits=baits, throws=throws)
            if not shares:
                unplaced[part.bait] = unplaced.get(part.bait, Fraction(0)) + whole
            for stage, share in shares:
                _add(ramps, stage, bait=part.bait, amount=whole * share, use=MIX)
    return tuple(
        BaitCurve(key, baits[key].unit, tuple(ramps.get(key, ())), unplaced.get(key, Fraction(0)))
        for key in sorted({*ramps, *unplaced})
    )


def _add(
    ramps: dict[str, list[Ramp]], stage: PlannedStage, *, bait: str, amount: Fraction, use: str
) -> None:
    ramp = Ramp(stage.start_minute, max(stage.start_minute, stage.end_minute), amount, use)
    ramps.setdefault(bait, []).append(ramp)


def _ball_shares(
    stages: Sequence[PlannedStage], *, mix: str
) -> list[tuple[PlannedStage, Fraction]]:
    """The stages with balls of the mix, and what part of all their volume each throws."""
    sizes = [
        (stage, stage.balls.count * stage.balls.mm**3)
        for stage in stages
        if stage.balls is not None and stage.balls.mix == mix
    ]
    whole = sum(size for _stage, size in sizes)
    return [(stage, Fraction(size, whole)) for stage, size in sizes]
