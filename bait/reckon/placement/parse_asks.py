"""Reading what is asked beside the feeds' places: each is left out where nobody asked."""

from __future__ import annotations

from dataclasses import replace
from typing import Any, Final

from matches.reckon.reading import Reading

from .ranges import RANGES, number_read, one_read
from .request import Angler, Body, Compare, PlacementRequest

ASKS: Final = ("angler", "swim_m", "rise_m", "compare", "tighten")
HANDS: Final = ("left", "right")
#: Speeds, and depths, of a comparison.
MOST_COMPARED: Final = 6
_NO_FEED = "No feed has this name: use that of one of the feeds."


def asks_read(reading: Reading, body: dict[str, Any], asked: PlacementRequest) -> PlacementRequest:
    """The request with all that was asked for beside."""
    rise = _rise_read(reading, body, asked)
    swim_m = number_read(reading, body, "swim_m", (), default=12.0) if "swim_m" in body else None
    return replace(
        asked,
        angler=_angler_read(reading, body["angler"]) if "angler" in body else None,
        swim_m=swim_m,
        rise_m=rise,
        compare=_compare_read(reading, body, asked) if "compare" in body else None,
        tighten=_tighten_read(reading, body, asked) if "tighten" in body else None,
    )


def _angler_read(reading: Reading, raw: object) -> Angler:
    body = reading.read_object(raw, ("angler",), needs=("line_m", "rod_m", "flows_to"))
    where = ("angler",)
    return Angler(
        line_m=number_read(reading, body, "line_m", where, default=10.0),
        rod_m=number_read(reading, body, "rod_m", where, default=4.0),
        flows_to=reading.read_word(
            body.get("flows_to", "right"), ("angler", "flows_to"), words=HANDS
        ),
    )


def _rise_read(reading: Reading, body: dict[str, Any], asked: PlacementRequest) -> float | None:
    if "rise_m" not in body:
        return None
    rise = number_read(reading, body, "rise_m", (), default=0.0)
    least, most = map(float, RANGES["depth_m"])
    if not least <= asked.swim.depth_m + rise <= most:
        reading.fault(("rise_m",), f"That would leave no depth from {least:g} to {most:g} m.")
    return rise


def _compare_read(reading: Reading, raw: dict[str, Any], asked: PlacementRequest) -> Compare:
    body = reading.read_object(
        raw["compare"], ("compare",), needs=("loose", "balls", "surface_speeds_m_s", "depths_m")
    )
    if "swim_m" not in raw:
        reading.fault(("swim_m",), "A comparison needs the length of the swim: add it.")
    for key, is_ball in (("loose", False), ("balls", True)):
        if key in body:
            _compared_check(reading, body[key], key, asked, is_ball=is_ball)
    return Compare(
        loose=str(body.get("loose", "")),
        balls=str(body.get("balls", "")),
        speeds=_numbers_read(reading, body, "surface_speeds_m_s", name="surface_speed_m_s"),
        depths=_numbers_read(reading, body, "depths_m", name="depth_m"),
    )


def _compared_check(
    reading: Reading, raw: object, key: str, asked: PlacementRequest, *, is_ball: bool
) -> None:
    feed = next((each for each in asked.feeds if each.name == raw), None)
    if feed is None:
        reading.fault(("compare", key), _NO_FEED)
    elif is_ball != (isinstance(feed.sinks, Body) and feed.sinks.shape == "ball"):
        words = "This must be a ball." if is_ball else "This must not be a ball."
        reading.fault(("compare", key), words)


def _numbers_read(
    reading: Reading, body: dict[str, Any], key: str, *, name: str
) -> tuple[float, ...]:
    if key not in body:
        return ()
    where = ("compare", key)
    items = reading.read_list(body[key], where, empty="Give at least one.")
    if len(items) > MOST_COMPARED:
        reading.fault(where, f"Give at most {MOST_COMPARED}.")
    return tuple(
        one_read(reading, item, (*where, n), name=name)
        for n, item in enumerate(items[:MOST_COMPARED])
    )


def _tighten_read(reading: Reading, body: dict[str, Any], asked: PlacementRequest) -> str | None:
    name = body["tighten"]
    if all(name != feed.name for feed in asked.feeds):
        reading.fault(("tighten",), _NO_FEED)
        return None
    if not asked.particles:
        reading.fault(("particles",), "What would tighten a feed needs particles: add them.")
    return str(name)
