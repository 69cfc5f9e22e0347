"""Reading a request about lines from JSON, with every fault in its place."""

from __future__ import annotations

from fractions import Fraction
from typing import Any, Final

from matches.reckon.decimals import decimal_read
from matches.reckon.reading import Reading, Where

from .request import LineCatch, LinesRequest

MOST_LINES: Final = 20
MOST_MINUTES: Final = 10_000
MOST_FISH: Final = 100_000
MOST_GRAMS: Final = 100_000_000
#: Together with the request's figures these keep the shares right to 1e-6 (see `shares`).
LEAST_PRIOR_FISH: Final = Fraction(1, 10)
_NOBODY_FISHED: Final = "Fish were caught in no time: give the minutes this line was fished."
_NO_FISH: Final = "Weight without fish: give their number."


def lines_parse(raw: object) -> LinesRequest:
    """Read a request as described in the API. Raises BadInput with every fault and its pointer."""
    reading = Reading()
    body = reading.read_object(raw, (), needs=("lines", "prior"), may=("minutes_left", "target_g"))
    if not isinstance(raw, dict):
        reading.finish()
    prior = reading.read_object(body.get("prior", {}), ("prior",), needs=("fish", "minutes"))
    asked = LinesRequest(
        lines=tuple(_lines_read(reading, body.get("lines", []))),
        prior_fish=_decimal(reading, prior, "fish", ("prior",), most=1_000),
        prior_minutes=_decimal(reading, prior, "minutes", ("prior",), most=MOST_MINUTES),
        minutes_left=_minutes(reading, body["minutes_left"], ("minutes_left",))
        if "minutes_left" in body
        else None,
        target_g=_whole(reading, body, "target_g", (), most=MOST_GRAMS)
        if "target_g" in body
        else None,
    )
    if "fish" in prior and asked.prior_fish < LEAST_PRIOR_FISH:
        reading.fault(("prior", "fish"), "A prior of less than a tenth of a fish says nothing.")
    if (asked.minutes_left is None) != (asked.target_g is None):
        missing = "minutes_left" if asked.minutes_left is None else "target_g"
        reading.fault((missing,), "A pace needs both minutes_left and target_g.")
    reading.finish()
    return asked


def _lines_read(reading: Reading, raw: object) -> list[LineCatch]:
    items = reading.read_list(raw, ("lines",), empty="Name at least one line.")
    if len(items) > MOST_LINES:
        reading.fault(("lines",), f"Use at most {MOST_LINES} lines.")
    read: list[LineCatch] = []
    for n, item in enumerate(items[:MOST_LINES]):
        where: Where = ("lines", n)
        body = reading.read_object(item, where, needs=("name", "minutes", "fish", "weight_g"))
        line = LineCatch(
            name=reading.read_id(body["name"], (*where, "name")) if "name" in body else "",
            minutes=_minutes(reading, body.get("minutes", "1"), (*where, "minutes")),
            fish=_whole(reading, body, "fish", where, most=MOST_FISH),
            grams=_whole(reading, body, "weight_g", where, most=MOST_GRAMS),
        )
        if line.fish and not line.minutes:
            reading.fault((*where, "minutes"), _NOBODY_FISHED)
        if line.grams and not line.fish and "fish" in body:
            reading.fault((*where, "weight_g"), _NO_FISH)
        read.append(line)
    names = [(line.name, ("lines", n, "name")) for n, line in enumerate(read) if line.name]
    reading.note_repeats(names, message="Two lines have this name: give each its own.")
    return read


def _minutes(reading: Reading, raw: object, where: Where) -> Fraction:
    value = decimal_read(raw)
    if value is None or not 0 <= value <= MOST_MINUTES:
        words = f'Write minutes as a decimal string such as "40", from 0 to {MOST_MINUTES}.'
        reading.fault(where, words)
        return Fraction(1)
    return value


def _decimal(
    reading: Reading, body: dict[str, Any], key: str, where: Where, *, most: int
) -> Fraction:
    if key not in body:
        return Fraction(1)
    return reading.read_decimal(body[key], (*where, key), most=most)


def _whole(reading: Reading, body: dict[str, Any], key: str, where: Where, *, most: int) -> int:
    return reading.read_whole(body[key], (*where, key), least=0, most=most) if key in body else 0
