"""The mixing sheet of one planned mix: what goes in, what it makes, whether its balls hold."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from fractions import Fraction
from typing import Final

from .mix import MixOutcome, MixRequest, Particles, ball_litres, load_fraction_most, mix_reckon
from .plans import (
    THROW_ML,
    BaitFacts,
    Balls,
    Feed,
    MixPart,
    PlannedMix,
    PlannedStage,
    Throws,
    feed_amount,
    throws_count,
)
from .units import amount_convert

#: Metres across one of what is loaded, as a sphere of the same volume (from memory, no source).
HEMP_M: Final = Fraction("0.0035")
DEAD_MAGGOT_M: Final = Fraction("0.005")
_SIZES_M: Final = {
    "particle": HEMP_M,
    "animal": DEAD_MAGGOT_M,
    "groundbait": Fraction("0.001"),
    "soil": Fraction("0.001"),
    "other": Fraction("0.006"),
}
_LARVAE_M: Final = Fraction("0.003")
#: What a ball of a usual hand measures, where a mix has none planned.
USUAL_BALL_MM: Final = 80


@dataclass(frozen=True, slots=True)
class Measured:
    """An amount as it was planned, and its loose litres; None where nobody can say."""

    bait: str
    amount: Fraction
    unit: str
    litres: Fraction | None


@dataclass(frozen=True, slots=True)
class BallsSheet:
    """The balls of one stage, all its throws together; `stage` is its place in the plan.

    `outcome` leaves out what nobody can measure (`unmeasured` bait keys).
    """

    stage: int
    count: int
    mm: int
    load: tuple[Measured, ...]
    outcome: MixOutcome
    packing: Fraction
    unmeasured: tuple[str, ...] = ()

    @property
    def load_l(self) -> Fraction:
        return sum((part.litres or Fraction(0) for part in self.load), Fraction(0))

    @property
    def holds(self) -> bool | None:
        """Whether they stay whole; None where some of the load cannot be measured."""
        if not self.outcome.holds:
            return False
        return None if self.unmeasured else True

    @property
    def each_ml(self) -> int:
        """Loose millilitres of load in a ball, rounded to the next."""
        return round(self.load_l * 1000 / self.count)

    @property
    def most_each_ml(self) -> int | None:
        """The most a ball holds of such a load, in whole loose millilitres."""
        most = self.outcome.load_most_l
        return None if most is None else math.floor(most * 1000 / self.count)

    @property
    def too_much_l(self) -> Fraction:
        """What to leave out so that they hold."""
        most = self.outcome.load_most_l
        return Fraction(0) if most is None else max(Fraction(0), self.load_l - most)

    @property
    def balls_needed(self) -> int:
        """How many such balls hold the whole load."""
        most = self.outcome.load_most_l
        if not most:
            return self.count
        return max(self.count, math.ceil(self.load_l * self.count / most))


@dataclass(frozen=True, slots=True)
class BallMost:
    """What a ball of one size takes of one thing alone and still holds, in loose millilitres.

    `empty_balls` is how many of them the whole mix makes without any load; None where some of it
    cannot be measured.
    """

    mm: int
    hemp_ml: int
    dead_maggot_ml: int
    empty_balls: int | None


@dataclass(frozen=True, slots=True)
class MixSheet:
    """One mix to make. Litres are None where some part of it cannot be measured (`unmeasured`)."""

    mix: PlannedMix
    dry: tuple[Measured, ...]
    after: tuple[Measured, ...]
    balls: tuple[BallsSheet, ...]
    unmeasured: tuple[str, ...] = field(default=())

    @property
    def dry_l(self) -> Fraction | None:
        return _sum_l(self.dry)

    @property
    def water_l(self) -> Fraction | None:
        return None if self.dry_l is None else self.dry_l * self.mix.water_per_dry

    @property
    def after_l(self) -> Fraction | None:
        return _sum_l(self.after)

    @property
    def ready_l(self) -> Fraction | None:
        """Loose and riddled, ready to use."""
        if self.dry_l is None or self.after_l is None:
            return None
        return self.dry_l * self.mix.swell + self.after_l

    @property
    def used_l(self) -> Fraction:
        """Loose mix that all its balls take."""
        return sum((balls.outcome.used_l for balls in self.balls), Fraction(0))

    @property
    def left_l(self) -> Fraction | None:
        """What stays when all balls are made; below zero, so much is missing."""
        return None if self.ready_l is None else self.ready_l - self.used_l

    @property
    def missing_l(self) -> Fraction:
        return max(Fraction(0), -(self.left_l or Fraction(0)))

    @property
    def dry_more_l(self) -> Fraction:
        """Litres dry to wet on top so that all balls can be made."""
        return self.missing_l / self.mix.swell

    @property
    def water_more_l(self) -> Fraction:
        return self.dry_more_l * self.mix.water_per_dry

    @property
    def ball_mms(self) -> tuple[int, ...]:
        """The sizes its balls have; the usual one where none is planned."""
        return tuple(sorted({balls.mm for balls in self.balls})) or (USUAL_BALL_MM,)

    @property
    def most(self) -> tuple[BallMost, ...]:
        """For each size, what a ball of it takes."""
        return tuple(
            BallMost(
                mm,
                self.most_in_ball_ml(mm=mm, size_m=HEMP_M),
                self.most_in_ball_ml(mm=mm, size_m=DEAD_MAGGOT_M),
                self.empty_balls(mm=mm),
            )
            for mm in self.ball_mms
        )

    def most_in_ball_ml(self, *, mm: int, size_m: Fraction) -> int:
        """Whole loose millilitres of particles of that size that a ball takes and still holds."""
        most = load_fraction_most(size_m=size_m, film_m=self.mix.film_mm / 1000)
        return math.floor(most * ball_litres(Fraction(mm, 1000)) * 1000 / self.mix.packing)

    def empty_balls(self, *, mm: int) -> int | None:
        """How many balls of that size all of it makes without any load."""
        if self.ready_l is None:
            return None
        return math.floor(self.ready_l * self.mix.squeeze / ball_litres(Fraction(mm, 1000)))


def mixing_sheets(
    mixes: Sequence[PlannedMix],
    *,
    stages: Sequence[PlannedStage],
    baits: Mapping[str, BaitFacts],
    throws: Throws = THROW_ML,
) -> tuple[MixSheet, ...]:
    """A sheet for each mix of a plan, in the plan's order.

    Raises BadInput where a unit no longer fits its bait (see `feed_amount`).
    """
    return tuple(_sheet(mix, stages=stages, baits=baits, throws=throws) for mix in mixes)


def particle_size(bait: BaitFacts) -> Fraction:
    """Metres across one of it, as far as its sort says."""
    return _LARVAE_M if bait.family == "larvae" else _SIZES_M[bait.kind]


def _sheet(
    mix: PlannedMix,
    *,
    stages: Sequence[PlannedStage],
    baits: Mapping[str, BaitFacts],
    throws: Throws,
) -> MixSheet:
    parts = [(part, _measured(part, baits=baits, throws=throws)) for part in mix.parts]
    dry = tuple(found for part, found in parts if not part.after_rest)
    after = tuple(found for part, found in parts if part.after_rest)
    known_l = (_known_l(dry), _known_l(after))
    return MixSheet(
        mix=mix,
        dry=dry,
        after=after,
        balls=tuple(
            _balls_sheet(
                mix, stage.balls, stage=stage, at=at, known_l=known_l, baits=baits, throws=throws
            )
            for at, stage in enumerate(stages)
            if stage.balls is not None and stage.balls.mix == mix.name
        ),
        unmeasured=tuple(found.bait for _part, found in parts if found.litres is None),
    )


def _balls_sheet(
    mix: PlannedMix,
    balls: Balls,
    *,
    stage: PlannedStage,
    at: int,
    known_l: tuple[Fraction, Fraction],
    baits: Mapping[str, BaitFacts],
    throws: Throws,
) -> BallsSheet:
    times = throws_count(stage)
    load = tuple(_measured(feed, baits=baits, throws=throws, times=times) for feed in stage.feeds)
    dry_l, after_l = known_l
    outcome = mix_reckon(
        MixRequest(
            dry_l=dry_l,
            soil_l=after_l,
            ball_m=Fraction(balls.mm, 1000),
            balls=balls.count * times,
            load=tuple(
                Particles(part.litres, particle_size(baits[part.bait]))
                for part in load
                if part.litres is not None
            ),
            water_per_dry=mix.water_per_dry,
            swell=mix.swell,
            squeeze=mix.squeeze,
            packing=mix.packing,
            film_m=mix.film_mm / 1000,
        )
    )
    unmeasured = tuple(part.bait for part in load if part.litres is None)
    return BallsSheet(at, balls.count * times, balls.mm, load, outcome, mix.packing, unmeasured)


def _measured(
    feed: Feed | MixPart, *, baits: Mapping[str, BaitFacts], throws: Throws, times: int = 1
) -> Measured:
    bait = baits[feed.bait]
    amount = feed_amount(
        Feed(feed.bait, feed.amount, feed.unit), baits=baits, throws={**THROW_ML, **throws}
    )
    litres = amount_convert(amount * times, unit=bait.unit, to="L", density=bait.density)
    return Measured(feed.bait, feed.amount * times, feed.unit, litres)


def _known_l(parts: Sequence[Measured]) -> Fraction:
    return sum((part.litres or Fraction(0) for part in parts), Fraction(0))


def _sum_l(parts: Sequence[Measured]) -> Fraction | None:
    return None if any(part.litres is None for part in parts) else _known_l(parts)
