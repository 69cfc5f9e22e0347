"""How wide a feed lies on the bed, found by letting many single ones fall by chance."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from typing import Final

import numpy as np
from numpy.typing import NDArray

from .ball import ball_fall
from .flow import drift
from .request import Body, Feed, Swim
from .water import Water

#: What lies within this of the rig is counted as beside it.
NEAR_M: Final = 0.5
#: The part of depth and speed by which a ball's fall is tried again, to see what they change.
_NUDGE: Final = 1e-3

Many = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class Landing:
    """Where a feed lands, in metres downstream of where the rig goes in.

    Nine in ten land between `p5_m` and `p95_m`, eight in ten between `p10_m` and `p90_m`;
    `near_rig` is the part of all that lands within half a metre of where the rig settles.
    """

    mean_m: float
    sd_m: float
    p5_m: float
    p10_m: float
    p90_m: float
    p95_m: float
    near_rig: float

    def as_json(self) -> dict[str, float]:
        return {
            "mean_m": self.mean_m,
            "sd_m": self.sd_m,
            "p5_m": self.p5_m,
            "p10_m": self.p10_m,
            "p90_m": self.p90_m,
            "p95_m": self.p95_m,
            "within_half_m": self.near_rig,
        }


@dataclass(frozen=True, slots=True)
class Place:
    """A feed as it is meant to go in, in metres and m/s."""

    sink_speed: float
    drift_m: float
    throw_m: float


def landing(
    feed: Feed, place: Place, *, swim: Swim, water: Water, particles: int, seed: int
) -> Landing:
    """Let `particles` of the feed go in at the place meant and stray; the same for the same seed.

    Sink speed, depth and the water's speed are never below zero, so they stray by the lognormal
    law with the mean and the spread given; throws stray by the normal one.
    """
    chance = np.random.default_rng(seed)
    depths = _positive(chance, swim.depth_m, swim.depth_sd, particles)
    speeds = _positive(chance, swim.speed, swim.speed_sd, particles)
    if isinstance(feed.sinks, Body) and feed.sinks.shape == "ball":
        drifts = _ball_drifts(feed.sinks, place, swim=swim, water=water, at=(depths, speeds))
    else:
        drifts = drift(
            sink_speed=_positive(chance, place.sink_speed, feed.sink_sd, particles),
            depth_m=depths,
            speed=speeds,
            fall_m=_falls(swim, depths),
            exponent=swim.exponent,
            wind=swim.wind,
        )
    lands = place.throw_m + drifts + chance.normal(0.0, feed.throw_sd, particles)
    near = np.abs(lands - place.throw_m - place.drift_m) <= NEAR_M
    p5, p10, p90, p95 = (float(part) for part in np.percentile(lands, (5, 10, 90, 95)))
    return Landing(float(lands.mean()), float(lands.std()), p5, p10, p90, p95, float(near.mean()))


def _ball_drifts(
    ball: Body, place: Place, *, swim: Swim, water: Water, at: tuple[Many, Many]
) -> Many:
    """A ball's drift grows evenly with depth and speed, as near as they are known."""
    depths, speeds = at
    drifts = np.full(len(depths), place.drift_m)
    if swim.depth_sd:
        drifts += (depths - swim.depth_m) * _slope(ball, place, swim, water, "depth_m")
    if swim.speed_sd:
        drifts += (speeds - swim.speed) * _slope(ball, place, swim, water, "speed")
    return drifts


def _slope(ball: Body, place: Place, swim: Swim, water: Water, name: str) -> float:
    """By how much its drift grows for each metre, or m/s, more of what is named."""
    more = float(getattr(swim, name)) * _NUDGE
    nudged = replace(swim, **{name: getattr(swim, name) + more})
    if swim.fish_depth_m == swim.depth_m:
        nudged = replace(nudged, fish_depth_m=nudged.depth_m)
    return (ball_fall(ball, swim=nudged, water=water)[1] - place.drift_m) / more


def _falls(swim: Swim, depths: Many) -> Many:
    """To the bed wherever it is, or to the fish above it."""
    if swim.fish_depth_m == swim.depth_m:
        return depths
    return np.minimum(swim.fish_depth_m, depths)


def _positive(chance: np.random.Generator, mean: float, sd: float, count: int) -> Many:
    """Lognormal numbers of that mean and standard deviation."""
    if not sd:
        return np.full(count, mean)
    spread = math.log1p((sd / mean) ** 2)
    return chance.lognormal(math.log(mean) - spread / 2, math.sqrt(spread), count)
