"""Where each feed must go in so that it lands where the rig settles."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from .ball import ball_fall
from .fall import grain_speed, sphere_speed
from .flow import drift
from .request import Body, Feed, PlacementRequest, Swim
from .scatter import Landing, Place, landing
from .water import Water, water_at


@dataclass(frozen=True, slots=True)
class FeedPlaced:
    """One feed: how fast and how long it sinks, how far it is carried, where to throw it.

    `throw_m` is downstream of where the rig goes in, below zero upstream of it. `lands` is None
    where no particles were asked for.
    """

    name: str
    sink_speed: float
    sink_s: float
    drift_m: float
    throw_m: float
    lands: Landing | None

    def as_json(self) -> dict[str, Any]:
        answer: dict[str, Any] = {
            "name": self.name,
            "sink_speed_m_s": self.sink_speed,
            "sink_s": self.sink_s,
            "drift_m": self.drift_m,
            "throw_m": self.throw_m,
        }
        return answer if self.lands is None else {**answer, "landing": self.lands.as_json()}


@dataclass(frozen=True, slots=True)
class PlacementAnswer:
    """The feeds in the order asked, for the water's speed at the surface in m/s."""

    speed: float
    feeds: tuple[FeedPlaced, ...]

    def as_json(self) -> dict[str, Any]:
        """The response of the API."""
        return {
            "surface_speed_m_s": self.speed,
            "feeds": [feed.as_json() for feed in self.feeds],
        }


def placement_work_out(asked: PlacementRequest) -> PlacementAnswer:
    """Each feed's place. Expects what `placement_parse` lets through: every body sinks."""
    water = water_at(asked.swim.celsius)
    placed = tuple(_feed_place(feed, asked, water) for feed in asked.feeds)
    return PlacementAnswer(asked.swim.speed, placed)


def sink_speed(sinks: Body | float, water: Water) -> float:
    """As measured, or from size and weight; m/s. A ball's is the one it would end up with."""
    if not isinstance(sinks, Body):
        return sinks
    speed = grain_speed if sinks.shape == "grain" else sphere_speed
    return speed(diameter_m=sinks.diameter_m, density=sinks.density, water=water)


def _feed_place(feed: Feed, asked: PlacementRequest, water: Water) -> FeedPlaced:
    speed = sink_speed(feed.sinks, water)
    seconds, carried = _fall(feed.sinks, speed, asked.swim, water)
    place = Place(speed, carried, asked.rig_settles_m - carried)
    lands = None
    if asked.particles:
        lands = landing(
            feed,
            place,
            swim=asked.swim,
            water=water,
            particles=asked.particles,
            seed=asked.seed,
        )
    return FeedPlaced(feed.name, speed, seconds, carried, place.throw_m, lands)


def _fall(sinks: Body | float, speed: float, swim: Swim, water: Water) -> tuple[float, float]:
    """Seconds to the fish's depth, and metres downstream by then."""
    if isinstance(sinks, Body) and sinks.shape == "ball":
        return ball_fall(sinks, swim=swim, water=water)
    carried = drift(
        sink_speed=speed,
        depth_m=swim.depth_m,
        speed=swim.speed,
        fall_m=swim.fish_depth_m,
        exponent=swim.exponent,
    )
    return swim.fish_depth_m / speed, carried
