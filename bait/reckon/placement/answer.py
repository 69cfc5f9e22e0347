"""Where each feed must go in so that it lands where the rig settles, and what was asked beside."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Any

from .reach import Compared, compared, reach_speed
from .request import Feed, PlacementRequest, Swim
from .rise import swim_risen
from .rods import ThrowPoint, throw_point
from .scatter import Landing
from .sinking import sink
from .tighten import Way, feed_lands, tightened
from .water import Water, water_at


@dataclass(frozen=True, slots=True)
class FeedPlaced:
    """One feed: how fast and how long it sinks, how far it is carried, where to throw it.

    `throw_m` is downstream of where the rig goes in, below zero upstream of it. `lands` is None
    where no particles were asked for, `point` without an angler; `reach` holds the speed up to
    which it gets there within the swim (None: any), and is empty where no swim was given.
    """

    name: str
    sink_speed: float
    sink_s: float
    drift_m: float
    throw_m: float
    lands: Landing | None = None
    point: ThrowPoint | None = None
    reach: tuple[float | None, ...] = ()

    def as_json(self) -> dict[str, Any]:
        answer: dict[str, Any] = {
            "name": self.name,
            "sink_speed_m_s": self.sink_speed,
            "sink_s": self.sink_s,
            "drift_m": self.drift_m,
            "throw_m": self.throw_m,
        }
        if self.lands is not None:
            answer["landing"] = self.lands.as_json()
        if self.point is not None:
            answer["throw_point"] = self.point.as_json()
        if self.reach:
            answer["reach_speed_m_s"] = self.reach[0]
        return answer


@dataclass(frozen=True, slots=True)
class Risen:
    """The same feeds after the river rose: an estimate, until somebody measures again."""

    swim: Swim
    feeds: tuple[FeedPlaced, ...]

    def as_json(self) -> dict[str, Any]:
        return {
            "depth_m": self.swim.depth_m,
            "surface_speed_m_s": self.swim.speed,
            "feeds": [feed.as_json() for feed in self.feeds],
        }


@dataclass(frozen=True, slots=True)
class PlacementAnswer:
    """The feeds in the order asked, for the water's speed at the surface in m/s; the rest is None
    where it was not asked for."""

    speed: float
    feeds: tuple[FeedPlaced, ...]
    risen: Risen | None = None
    compared: tuple[Compared, ...] | None = None
    ways: tuple[Way, ...] | None = None

    def as_json(self) -> dict[str, Any]:
        """The response of the API."""
        answer: dict[str, Any] = {
            "surface_speed_m_s": self.speed,
            "feeds": [feed.as_json() for feed in self.feeds],
        }
        if self.risen is not None:
            answer["risen"] = self.risen.as_json()
        if self.compared is not None:
            answer["compare"] = [cell.as_json() for cell in self.compared]
        if self.ways is not None:
            answer["tighten"] = [way.as_json() for way in self.ways]
        return answer


def placement_work_out(asked: PlacementRequest) -> PlacementAnswer:
    """Each feed's place. Expects what `placement_parse` lets through: every body sinks."""
    water = water_at(asked.swim.celsius)
    return PlacementAnswer(
        asked.swim.speed,
        tuple(_feed_place(feed, asked, water) for feed in asked.feeds),
        _risen(asked, water),
        _compared(asked, water),
        tightened(_named(asked, asked.tighten), asked, water) if asked.tighten else None,
    )


def _feed_place(feed: Feed, asked: PlacementRequest, water: Water) -> FeedPlaced:
    swim = asked.swim
    fell = sink(feed.sinks, swim=swim, water=water)
    throw = asked.rig_settles_m - fell.drift_m
    lands = feed_lands(feed, asked, swim=swim, water=water) if asked.particles else None
    reach: tuple[float | None, ...] = ()
    if asked.swim_m is not None:
        reach = (reach_speed(feed.sinks, swim=swim, swim_m=asked.swim_m, water=water),)
    return FeedPlaced(
        feed.name,
        fell.sink_speed,
        fell.seconds,
        fell.drift_m,
        throw,
        lands,
        throw_point(throw, asked.angler) if asked.angler else None,
        reach,
    )


def _risen(asked: PlacementRequest, water: Water) -> Risen | None:
    if asked.rise_m is None:
        return None
    swim = swim_risen(asked.swim, asked.rise_m)
    then = replace(asked, swim=swim, particles=0, swim_m=None)
    return Risen(swim, tuple(_feed_place(feed, then, water) for feed in asked.feeds))


def _compared(asked: PlacementRequest, water: Water) -> tuple[Compared, ...] | None:
    if asked.compare is None or asked.swim_m is None:
        return None
    return compared(
        _named(asked, asked.compare.loose),
        _named(asked, asked.compare.balls),
        swim=asked.swim,
        swim_m=asked.swim_m,
        asked=asked.compare,
        water=water,
    )


def _named(asked: PlacementRequest, name: str) -> Feed:
    return next(feed for feed in asked.feeds if feed.name == name)
