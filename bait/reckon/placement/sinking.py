"""How one feed sinks in one swim, whatever was said about it."""

from __future__ import annotations

from dataclasses import dataclass

from .ball import ball_fall
from .fall import grain_speed, sphere_speed
from .flow import drift
from .request import Body, Swim
from .water import Water


@dataclass(frozen=True, slots=True)
class Sunk:
    """Its sink speed in m/s, the seconds to the fish's depth, the metres downstream by then."""

    sink_speed: float
    seconds: float
    drift_m: float


def sink(sinks: Body | float, *, swim: Swim, water: Water) -> Sunk:
    """From the surface to the fish's depth. Needs what sinks."""
    speed = sink_speed(sinks, water)
    if isinstance(sinks, Body) and sinks.shape == "ball":
        return Sunk(speed, *ball_fall(sinks, swim=swim, water=water))
    carried = drift(
        sink_speed=speed,
        depth_m=swim.depth_m,
        speed=swim.speed,
        fall_m=swim.fish_depth_m,
        exponent=swim.exponent,
        wind=swim.wind,
    )
    return Sunk(speed, swim.fish_depth_m / speed, float(carried))


def sink_speed(sinks: Body | float, water: Water) -> float:
    """As measured, or from size and weight; m/s. A ball's is the one it would end up with."""
    if not isinstance(sinks, Body):
        return sinks
    speed = grain_speed if sinks.shape == "grain" else sphere_speed
    return speed(diameter_m=sinks.diameter_m, density=sinks.density, water=water)
