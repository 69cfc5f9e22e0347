"""What would lay one feed closer together: each way is worked out as the feed itself is."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass, replace
from typing import Any, Final

from .request import Body, Feed, PlacementRequest, Swim
from .scatter import Landing, Place, landing
from .sinking import sink, sink_speed
from .water import Water

WAYS: Final = ("closer", "low", "heavier", "balls", "slack")
#: What each way changes (common practice, no source).
CLOSER_PART: Final = 0.5
LOW_PART: Final = 0.5
HEAVIER_PART: Final = 1.5
SLACK_PART: Final = 0.75
#: The ball where the request names none: a firm one with soil.
BALL: Final = Body("ball", 0.08, 1500.0)


@dataclass(frozen=True, slots=True)
class Way:
    """One thing to change, and where the feed lands then.

    `closer`: the line half as far out; `low`: half the throw's scatter; `heavier`: the heaviest
    other loose feed named in `feed`, or the same that sinks half as fast again; `balls`; `slack`:
    water at three quarters of its speed.
    """

    name: str
    feed: str
    lands: Landing

    def as_json(self) -> dict[str, Any]:
        return {"way": self.name, "feed": self.feed, "landing": self.lands.as_json()}


def tightened(feed: Feed, asked: PlacementRequest, water: Water) -> tuple[Way, ...]:
    """Each way that goes for this feed, in the order above.

    A throw strays in proportion to its length, where the angler's place is known.
    """
    return tuple(
        Way(name, other.name, feed_lands(other, asked, swim=swim, water=water))
        for name, other, swim in _ways(feed, asked, water)
    )


def feed_lands(feed: Feed, asked: PlacementRequest, *, swim: Swim, water: Water) -> Landing:
    """Where `asked.particles` of it land."""
    fell = sink(feed.sinks, swim=swim, water=water)
    place = Place(fell.sink_speed, fell.drift_m, asked.rig_settles_m - fell.drift_m)
    return landing(feed, place, swim=swim, water=water, particles=asked.particles, seed=asked.seed)


def _ways(feed: Feed, asked: PlacementRequest, water: Water) -> Iterator[tuple[str, Feed, Swim]]:
    swim = asked.swim
    usual = _thrown_m(feed, asked, swim, water)
    if asked.angler:
        line = asked.angler.line_m * CLOSER_PART
        yield "closer", _strays(feed, _thrown_m(feed, asked, swim, water, line) / usual), swim
    yield "low", _strays(feed, LOW_PART), swim
    if not _is_ball(feed):
        heavier = _heavier(feed, asked, water)
        if heavier.name == feed.name:
            heavier = _strays(heavier, _thrown_m(heavier, asked, swim, water) / usual)
        yield "heavier", heavier, swim
        yield "balls", _ball(feed, asked, water, usual), swim
    slack = replace(swim, speed=swim.speed * SLACK_PART, speed_sd=swim.speed_sd * SLACK_PART)
    yield "slack", _strays(feed, _thrown_m(feed, asked, slack, water) / usual), slack


def _heavier(feed: Feed, asked: PlacementRequest, water: Water) -> Feed:
    """The loose feed that sinks fastest, or this one made to sink half as fast again."""
    loose = [each for each in asked.feeds if not _is_ball(each)]
    heaviest = max(loose, key=lambda each: sink_speed(each.sinks, water))
    if heaviest != feed and sink_speed(heaviest.sinks, water) > sink_speed(feed.sinks, water):
        return heaviest
    faster = sink_speed(feed.sinks, water) * HEAVIER_PART
    return replace(feed, sinks=faster, sink_sd=feed.sink_sd * HEAVIER_PART)


def _ball(feed: Feed, asked: PlacementRequest, water: Water, usual: float) -> Feed:
    """The first ball of the request, or the usual one, thrown as this feed is."""
    named = next((each for each in asked.feeds if _is_ball(each)), None)
    if named:
        return named
    ball = replace(feed, name="", sinks=BALL, sink_sd=0.0)
    return _strays(ball, _thrown_m(ball, asked, asked.swim, water) / usual)


def _thrown_m(
    feed: Feed, asked: PlacementRequest, swim: Swim, water: Water, line_m: float | None = None
) -> float:
    """How far it flies from the angler; 1 where nobody said where the angler is."""
    if asked.angler is None:
        return 1.0
    throw = asked.rig_settles_m - sink(feed.sinks, swim=swim, water=water).drift_m
    return math.hypot(throw, asked.angler.line_m if line_m is None else line_m)


def _strays(feed: Feed, part: float) -> Feed:
    return replace(feed, throw_sd=feed.throw_sd * part)


def _is_ball(feed: Feed) -> bool:
    return isinstance(feed.sinks, Body) and feed.sinks.shape == "ball"
