"""Reading a placement request from JSON, with every fault in its place."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any, Final

from matches.reckon.reading import Reading, Where

from .measured import Timed, speed_timed
from .parse_asks import ASKS, asks_read
from .ranges import RANGES, number_read, one_read
from .request import PROFILE_EXPONENT, Body, Feed, PlacementRequest, Swim
from .water import water_at

MOST_FEEDS: Final = 20
MOST_PARTICLES: Final = 100_000
MOST_TRIES: Final = 100
SHAPES: Final = ("sphere", "grain", "ball")
#: A ball smaller than this reaches its speed at once: it is a sphere.
SMALLEST_BALL_M: Final = 0.02
_SPEEDS = ("surface_speed_m_s", "float_run")
_SINKS = ("sink_speed_m_s", "jar_test", "shape")
_STANDING = "Still water carries nothing: throw where the rig is."
_UNLIKELY = "No river runs at {speed:.3g} m/s: measure the way and the time again."
_FLOATS = "This floats in water of {celsius:g} °C ({density:.1f} kg/m³): it would never land."


def placement_parse(raw: object) -> PlacementRequest:
    """Read a request as described in the API. Raises BadInput with every fault and its pointer."""
    reading = Reading()
    body = reading.read_object(
        raw,
        (),
        needs=("depth_m", "water_temp_c", "rig_settles_m", "feeds"),
        may=(
            *_SPEEDS,
            "depth_sd_m",
            "surface_speed_sd_m_s",
            "profile_exponent",
            "fish_depth_m",
            "wind_m_s",
            "particles",
            "seed",
            *ASKS,
        ),
    )
    if not isinstance(raw, dict):
        reading.finish()
    swim = _swim_read(reading, body)
    asked = PlacementRequest(
        swim=swim,
        rig_settles_m=number_read(reading, body, "rig_settles_m", (), default=0.0),
        feeds=tuple(_feeds_read(reading, body.get("feeds", []), celsius=swim.celsius)),
        particles=_whole(reading, body, "particles", most=MOST_PARTICLES),
        seed=_whole(reading, body, "seed", most=2**32 - 1),
    )
    asked = asks_read(reading, body, asked)
    reading.finish()
    return asked


def _swim_read(reading: Reading, body: dict[str, Any]) -> Swim:
    depth = number_read(reading, body, "depth_m", (), default=1.0)
    fish = number_read(reading, body, "fish_depth_m", (), default=depth)
    if fish > depth:
        reading.fault(("fish_depth_m",), "The fish cannot be below the bed: at most depth_m.")
    speed = _speed_read(reading, body)
    return Swim(
        depth_m=depth,
        speed=speed.mean,
        exponent=number_read(reading, body, "profile_exponent", (), default=PROFILE_EXPONENT),
        celsius=number_read(reading, body, "water_temp_c", (), default=10.0),
        fish_depth_m=fish,
        depth_sd=number_read(reading, body, "depth_sd_m", (), default=0.0),
        speed_sd=speed.sd,
        wind=number_read(reading, body, "wind_m_s", (), default=0.0),
    )


def _speed_read(reading: Reading, body: dict[str, Any]) -> Timed:
    """The water's speed at the surface, given or timed with a float."""
    if "float_run" in body:
        for key in ("surface_speed_m_s", "surface_speed_sd_m_s"):
            if key in body:
                reading.fault((key,), "Give a float run or a speed, not both.")
        noted = len(reading.faults)
        speed = _timed_read(reading, body["float_run"], ("float_run",), way="distance_m")
        least, most = RANGES["surface_speed_m_s"]
        if len(reading.faults) == noted and not float(least) <= speed.mean <= float(most):
            reading.fault(("float_run",), _UNLIKELY.format(speed=speed.mean))
        return speed
    if "surface_speed_m_s" not in body:
        reading.fault(("surface_speed_m_s",), "Give the speed, or a float_run to take it from.")
    elif body["surface_speed_m_s"] == 0 and body["surface_speed_m_s"] is not False:
        reading.fault(("surface_speed_m_s",), _STANDING)
        return Timed(1.0, 0.0)
    return Timed(
        number_read(reading, body, "surface_speed_m_s", (), default=1.0),
        number_read(reading, body, "surface_speed_sd_m_s", (), default=0.0),
    )


def _feeds_read(reading: Reading, raw: object, *, celsius: float) -> Iterator[Feed]:
    items = reading.read_list(raw, ("feeds",), empty="Name at least one feed.")
    if len(items) > MOST_FEEDS:
        reading.fault(("feeds",), f"Use at most {MOST_FEEDS} feeds.")
    names: list[tuple[str, Where]] = []
    for n, item in enumerate(items[:MOST_FEEDS]):
        where: Where = ("feeds", n)
        body = reading.read_object(
            item,
            where,
            needs=("name",),
            may=(*_SINKS, "diameter_m", "density_kg_m3", "sink_speed_sd_m_s", "throw_sd_m"),
        )
        if not isinstance(item, dict):
            continue
        name = reading.read_id(body["name"], (*where, "name")) if "name" in body else ""
        names.append((name, (*where, "name")))
        sinks, sd = _sinks_read(reading, body, where, celsius=celsius)
        yield Feed(name, sinks, sd, number_read(reading, body, "throw_sd_m", where, default=0.0))
    reading.note_repeats(names, message="Two feeds have this name: give each its own.")


def _sinks_read(
    reading: Reading, body: dict[str, Any], where: Where, *, celsius: float
) -> tuple[Body | float, float]:
    """What makes the feed sink, and how far single ones stray from its sink speed."""
    given = [key for key in _SINKS if key in body]
    if len(given) != 1:
        words = "Say how it sinks in one way: a shape, a sink_speed_m_s or a jar_test."
        reading.fault(where, words)
    for key in ("diameter_m", "density_kg_m3"):
        if ("shape" in body) != (key in body):
            words = (
                "This key goes with a shape: leave it out."
                if key in body
                else ("A shape needs this key: add it.")
            )
            reading.fault((*where, key), words)
    sd = number_read(reading, body, "sink_speed_sd_m_s", where, default=0.0)
    if "shape" in body:
        return _body_read(reading, body, where, celsius=celsius), sd
    if "jar_test" in body:
        if "sink_speed_sd_m_s" in body:
            words = "A jar test says itself how far single ones stray: leave this out."
            reading.fault((*where, "sink_speed_sd_m_s"), words)
        timed = _timed_read(reading, body["jar_test"], (*where, "jar_test"), way="depth_m")
        return timed.mean, timed.sd
    return number_read(reading, body, "sink_speed_m_s", where, default=1.0), sd


def _body_read(reading: Reading, body: dict[str, Any], where: Where, *, celsius: float) -> Body:
    shape = reading.read_word(body["shape"], (*where, "shape"), words=SHAPES)
    diameter = number_read(reading, body, "diameter_m", where, default=0.1)
    density = number_read(reading, body, "density_kg_m3", where, default=2000.0)
    water = water_at(celsius).density
    if density <= water:
        words = _FLOATS.format(celsius=celsius, density=water)
        reading.fault((*where, "density_kg_m3"), words)
    if shape == "ball":
        if diameter < SMALLEST_BALL_M:
            words = f"A ball is at least {SMALLEST_BALL_M:g} m across: call it a sphere."
            reading.fault((*where, "diameter_m"), words)
        if "sink_speed_sd_m_s" in body:
            words = "Balls stray by throw, depth and flow only: leave this out."
            reading.fault((*where, "sink_speed_sd_m_s"), words)
    return Body(shape, diameter, density)


def _timed_read(reading: Reading, raw: object, where: Where, *, way: str) -> Timed:
    """A way and the seconds it took, once or in several tries."""
    body = reading.read_object(raw, where, needs=(way, "seconds"))
    metres = 1.0
    if way in body:
        metres = one_read(reading, body[way], (*where, way), name=way)
    tries = body.get("seconds", [])
    at: Where = (*where, "seconds")
    if not isinstance(tries, list):
        tries = [tries]
        places: list[Where] = [at]
    else:
        reading.read_list(tries, at, empty="Time it at least once.")
        places = [(*at, n) for n in range(len(tries))]
    if len(tries) > MOST_TRIES:
        reading.fault(at, f"Use at most {MOST_TRIES} tries.")
    seconds = [
        one_read(reading, each, place, name="seconds")
        for each, place in zip(tries[:MOST_TRIES], places, strict=False)
    ]
    return speed_timed(metres=metres, seconds=seconds or [1.0])


def _whole(reading: Reading, body: dict[str, Any], key: str, *, most: int) -> int:
    return reading.read_whole(body[key], (key,), least=0, most=most) if key in body else 0
