"""What a mix makes, what its balls hold, and what a squeeze test says of it."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from fractions import Fraction

from .balls import ball_litres, film_found, load_fraction_most
from .request import MIX_DEFAULTS, MixAsked, MixRequest, SqueezeTest


@dataclass(frozen=True, slots=True)
class LimitHeld:
    """Litres against a limit of the match. Exactly at it is within."""

    name: str
    amount_l: Fraction
    allowed_l: Fraction

    @property
    def within(self) -> bool:
        return self.amount_l <= self.allowed_l

    @property
    def over_l(self) -> Fraction:
        return max(Fraction(0), self.amount_l - self.allowed_l)


@dataclass(frozen=True, slots=True)
class MixOutcome:
    """What comes of one mix; litres, exact but for π.

    `ready_l` is loose, riddled and ready to use. `load_fraction` is the solid part of a ball that
    the load takes; `load_fraction_most` and `load_most_l` (loose, in all balls asked for) are None
    where nothing says how large the particles are. `used_l` is the loose mix that the balls take,
    `ready_left_l` what stays of it: below zero, so much is missing.
    """

    dry_l: Fraction
    water_l: Fraction
    ready_l: Fraction
    ball_l: Fraction
    load_fraction: Fraction
    load_fraction_most: Fraction | None
    load_most_l: Fraction | None
    balls_possible: int
    used_l: Fraction
    limits: tuple[LimitHeld, ...]

    @property
    def holds(self) -> bool:
        """Whether a ball with its part of the load stays whole."""
        return self.load_fraction <= (self.load_fraction_most or 0)

    @property
    def ready_left_l(self) -> Fraction:
        return self.ready_l - self.used_l

    def as_json(self) -> dict[str, object]:
        """The response of the API."""
        return {
            "dry_l": float(self.dry_l),
            "water_l": float(self.water_l),
            "ready_l": float(self.ready_l),
            "ball_l": float(self.ball_l),
            "load_fraction": float(self.load_fraction),
            "load_fraction_max": _or_none(self.load_fraction_most),
            "holds": self.holds,
            "load_max_l": _or_none(self.load_most_l),
            "balls_possible": self.balls_possible,
            "ready_left_l": float(self.ready_left_l),
            "limits": {
                limit.name: {
                    "amount_l": float(limit.amount_l),
                    "allowed_l": float(limit.allowed_l),
                    "within": limit.within,
                    "over_l": float(limit.over_l),
                }
                for limit in self.limits
            },
        }


@dataclass(frozen=True, slots=True)
class SqueezeOutcome:
    """What a squeeze test measured: the film in metres, the squeeze. None where it was not."""

    film_m: float | None
    squeeze: float | None

    @property
    def found(self) -> dict[str, float]:
        both = {"film_m": self.film_m, "squeeze": self.squeeze}
        return {name: value for name, value in both.items() if value is not None}


@dataclass(frozen=True, slots=True)
class MixAnswer:
    """The answer to what was asked; `assumed` holds the defaults that nobody replaced."""

    mix: MixOutcome | None
    test: SqueezeOutcome | None
    assumed: dict[str, float]

    def as_json(self) -> dict[str, object]:
        """The response of the API."""
        answer = self.mix.as_json() if self.mix else {}
        if self.test:
            answer.update(self.test.found)
        if self.assumed:
            answer["assumed"] = self.assumed
        return answer


def mix_work_out(asked: MixAsked) -> MixAnswer:
    """What was asked, worked out. A property nobody gave is what the test measured of it, or the
    default.
    """
    test = squeeze_reckon(asked.test) if asked.test else None
    found = test.found if test else {}
    mix = asked.mix
    if mix is not None:
        taken = {name: Fraction(found[name]) for name in asked.left_out if name in found}
        # All of `taken` are fields that are fractions; mypy sees only some field of the mix.
        mix = replace(mix, **taken)  # type: ignore[arg-type]
    assumed = {
        name: float(MIX_DEFAULTS[name]) for name in sorted(asked.left_out) if name not in found
    }
    return MixAnswer(mix_reckon(mix) if mix else None, test, assumed)


def mix_reckon(mix: MixRequest) -> MixOutcome:
    """What one mix makes and holds.

    A load that fills a ball or more leaves no room for mix: no ball is possible then.
    """
    ready = mix.swell * mix.dry_l + mix.soil_l
    ball = ball_litres(mix.ball_m)
    solid = mix.load_l * mix.packing / mix.balls if mix.balls else Fraction(0)
    matrix = max(Fraction(0), ball - solid)
    size = mix.size_m
    most = None if size is None else load_fraction_most(size_m=size, film_m=mix.film_m)
    return MixOutcome(
        dry_l=mix.dry_l,
        water_l=mix.water_per_dry * mix.dry_l,
        ready_l=ready,
        ball_l=ball,
        load_fraction=solid / ball,
        load_fraction_most=most,
        load_most_l=None if most is None else most * ball * mix.balls / mix.packing,
        balls_possible=math.floor(ready * mix.squeeze / matrix) if matrix else 0,
        used_l=mix.balls * matrix / mix.squeeze,
        limits=tuple(
            LimitHeld(name, amount, allowed)
            for name, amount, allowed in (
                ("groundbait", ready, mix.groundbait_limit_l),
                ("bait", mix.load_l, mix.bait_limit_l),
            )
            if allowed is not None
        ),
    )


def squeeze_reckon(test: SqueezeTest) -> SqueezeOutcome:
    """The film and the squeeze that a test shows.

    Expects a load above zero and within random close packing, and no ball larger than the loose
    mix it was made of: `mix_parse` refuses others with a pointer, `squeeze_faults` says them.
    """
    ball = ball_litres(test.ball_m)
    film = None
    if test.load_l is not None and test.size_m is not None:
        film = film_found(test.load_l * test.packing / ball, size_m=test.size_m)
    return SqueezeOutcome(film, None if test.loose_l is None else float(ball / test.loose_l))


def _or_none(value: Fraction | None) -> float | None:
    return None if value is None else float(value)
