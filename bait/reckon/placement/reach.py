"""Up to what flow a feed reaches the fish within the swim, and when balls do what loose cannot."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Any, Final

from .request import Body, Compare, Feed, Swim
from .sinking import sink
from .water import Water

#: No river that is fished runs faster, in m/s.
FASTEST: Final = 5.0
_NEAR_M: Final = 1e-9
_TRIES: Final = 100


def reach_speed(sinks: Body | float, *, swim: Swim, swim_m: float, water: Water) -> float | None:
    """The speed at the surface, in m/s, at which it is carried just `swim_m` metres before it is
    at the fish's depth: above that it no longer gets there within the swim.

    None where it does in any river, 0 where the wind alone carries it further. Drift grows almost
    evenly with the flow, so that the false position (its Illinois form) finds it in a few tries.
    """

    def beyond(speed: float) -> float:
        return sink(sinks, swim=replace(swim, speed=speed), water=water).drift_m - swim_m

    low, high = 0.0, FASTEST
    short, long = beyond(low), beyond(high)
    if long <= 0:
        return None
    if short >= 0:
        return 0.0
    for _ in range(_TRIES):
        middle = (low * long - high * short) / (long - short)
        at = beyond(middle)
        if abs(at) <= _NEAR_M:
            break
        if at < 0:
            low, short, long = middle, at, long / 2
        else:
            high, long, short = middle, at, short / 2
    return middle


@dataclass(frozen=True, slots=True)
class Compared:
    """At one flow and depth: how far loose feed and balls are carried, and which to `use`: `loose`
    as long as it gets to the fish within the swim, else `balls`, or `neither`.
    """

    speed: float
    depth_m: float
    loose_m: float
    balls_m: float
    use: str

    def as_json(self) -> dict[str, Any]:
        return {
            "surface_speed_m_s": self.speed,
            "depth_m": self.depth_m,
            "loose_m": self.loose_m,
            "balls_m": self.balls_m,
            "use": self.use,
        }


def compared(
    loose: Feed, balls: Feed, *, swim: Swim, swim_m: float, asked: Compare, water: Water
) -> tuple[Compared, ...]:
    """One for each speed, and for each depth within it. Fish at the bed are at every bed."""
    return tuple(
        _compared(loose, balls, swim=_swim_of(swim, speed, depth), swim_m=swim_m, water=water)
        for speed in asked.speeds
        for depth in asked.depths
    )


def _compared(loose: Feed, balls: Feed, *, swim: Swim, swim_m: float, water: Water) -> Compared:
    loose_m, balls_m = (sink(feed.sinks, swim=swim, water=water).drift_m for feed in (loose, balls))
    use = "loose" if loose_m <= swim_m else "balls" if balls_m <= swim_m else "neither"
    return Compared(swim.speed, swim.depth_m, loose_m, balls_m, use)


def _swim_of(swim: Swim, speed: float, depth_m: float) -> Swim:
    on_bed = swim.fish_depth_m == swim.depth_m
    fish = depth_m if on_bed else min(swim.fish_depth_m, depth_m)
    return replace(swim, speed=speed, depth_m=depth_m, fish_depth_m=fish)
