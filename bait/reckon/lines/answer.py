"""Which line catches best, how sure that is, and what pace is needed."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any, Final

from .request import LineCatch, LinesRequest
from .shares import Rate, best_shares

MINUTES_PER_HOUR: Final = 60
#: Nine times in ten the rate lies between these quantiles.
LOW, HIGH = 0.05, 0.95


@dataclass(frozen=True, slots=True)
class LineShown:
    """One line: rates an hour, the 90 % interval of its fish, the probability to be the best.

    `grams_per_hour` is None where nothing was weighed: then `best` is by number of fish.
    """

    name: str
    fish_per_hour: float
    fish_per_hour_90: tuple[float, float]
    grams_per_hour: float | None
    best: float

    def as_json(self) -> dict[str, Any]:
        return {
            "name": self.name,
            "fish_per_hour": self.fish_per_hour,
            "fish_per_hour_90": list(self.fish_per_hour_90),
            "grams_per_hour": self.grams_per_hour,
            "best": self.best,
        }


@dataclass(frozen=True, slots=True)
class LinesAnswer:
    """The lines in the order asked, and the grams an hour still needed.

    `needed` is 0 where the target is reached, and None where no time is left or none was asked.
    """

    lines: tuple[LineShown, ...]
    needed: float | None

    def as_json(self) -> dict[str, Any]:
        """The response of the API."""
        return {
            "lines": [line.as_json() for line in self.lines],
            "pace": {"grams_per_hour_needed": self.needed},
        }


def lines_work_out(asked: LinesRequest) -> LinesAnswer:
    """Each line's rate as fish come: a Poisson process whose rate has a Gamma prior.

    With prior shape a and rate b, n fish in t minutes leave a Gamma distribution of shape a + n
    and rate b + t (the conjugate pair; A. Gelman and others, Bayesian Data Analysis, 3rd ed.,
    section 2.6). Grams follow from the line's mean fish, or all lines' where it has none weighed.
    """
    rates = [_rate(line, asked) for line in asked.lines]
    weights = _mean_grams(asked.lines)
    weighed = [
        Rate(rate.shape, rate.scale * grams)
        for rate, grams in zip(rates, weights or [1.0] * len(rates), strict=True)
    ]
    shares = best_shares(weighed)
    lines = tuple(
        LineShown(
            name=line.name,
            fish_per_hour=rate.mean,
            fish_per_hour_90=(rate.quantile(LOW), rate.quantile(HIGH)),
            grams_per_hour=heavy.mean if weights else None,
            best=share,
        )
        for line, rate, heavy, share in zip(asked.lines, rates, weighed, shares, strict=True)
    )
    return LinesAnswer(lines, _needed(asked))


def _rate(line: LineCatch, asked: LinesRequest) -> Rate:
    """Fish an hour."""
    minutes = float(asked.prior_minutes + line.minutes)
    return Rate(float(asked.prior_fish + line.fish), MINUTES_PER_HOUR / minutes)


def _mean_grams(lines: Sequence[LineCatch]) -> list[float] | None:
    """The weight of a line's mean fish; None where no line has any weighed."""
    weighed = [line for line in lines if line.grams]
    if not weighed:
        return None
    every = sum(line.grams for line in weighed) / sum(line.fish for line in weighed)
    return [line.grams / line.fish if line.grams else every for line in lines]


def _needed(asked: LinesRequest) -> float | None:
    if asked.target_g is None or asked.minutes_left is None:
        return None
    short = asked.target_g - sum(line.grams for line in asked.lines)
    if short <= 0:
        return 0.0
    if not asked.minutes_left:
        return None
    return short * MINUTES_PER_HOUR / float(asked.minutes_left)
