"""Reading a mix request from JSON, with every fault in its place."""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction
from typing import Any, Final

from matches.reckon.reading import Reading, Where

from ..units import MOST_AMOUNT, MOST_DENSITY, UNITS, amount_convert, amount_read
from .balls import RANDOM_CLOSE_PACKING, ball_litres
from .request import MIX_DEFAULTS, MixAsked, MixRequest, Particles, SqueezeTest

MOST_ITEMS: Final = 100
MOST_BALLS: Final = 10_000
#: From and to, in the request's own numbers: wider than any hand, narrow enough to reckon with.
RANGES: Final = {
    "water_per_dry": ("0", "10"),
    "swell": ("0.01", "10"),
    "squeeze": ("0.01", "1"),
    "packing": ("0.01", "1"),
    "film_m": ("0", "0.05"),
    "ball_diameter_m": ("0.005", "0.5"),
    "size_m": ("0.0001", "0.1"),
}
_AMOUNT = ("amount", "unit")
_DENSITY = "bulk_density_kg_per_l"


def mix_parse(raw: object) -> MixAsked:
    """Read a request as described in the API. Raises BadInput with every fault and its pointer.

    With a `squeeze_test` and no `dry` only the test is asked for.
    """
    reading = Reading()
    test_alone = isinstance(raw, dict) and "squeeze_test" in raw and "dry" not in raw
    needs, may = _keys(test_alone=test_alone)
    body = reading.read_object(raw, (), needs=needs, may=may)
    ball_m = _number(reading, body, "ball_diameter_m", (), default=Fraction("0.08"))
    properties = {
        name: _number(reading, body, name, (), default=default)
        for name, default in MIX_DEFAULTS.items()
    }
    test = _test_read(reading, body, ball_m=ball_m, packing=properties["packing"])
    mix = None if test_alone else _mix_read(reading, body, ball_m=ball_m, properties=properties)
    reading.finish()
    _together_note(reading, mix=mix, test=test)
    reading.finish()
    asked_of = ("packing",) if test_alone else tuple(MIX_DEFAULTS)
    return MixAsked(mix, test, tuple(name for name in asked_of if name not in body))


def _keys(*, test_alone: bool) -> tuple[tuple[str, ...], tuple[str, ...]]:
    if test_alone:
        return ("squeeze_test", "ball_diameter_m"), ("packing",)
    return (
        ("dry", "ball_diameter_m", "balls"),
        ("soil", "load", "limits", "squeeze_test", *MIX_DEFAULTS),
    )


def _mix_read(
    reading: Reading, body: dict[str, Any], *, ball_m: Fraction, properties: dict[str, Fraction]
) -> MixRequest:
    soil = body.get("soil")
    limits = _limits_read(reading, body.get("limits"))
    return MixRequest(
        dry_l=sum(_dry_read(reading, body.get("dry", [])), Fraction(0)),
        ball_m=ball_m,
        balls=reading.read_whole(body["balls"], ("balls",), least=0, most=MOST_BALLS)
        if "balls" in body
        else 1,
        soil_l=Fraction(0) if soil is None else _amount_item(reading, soil, ("soil",)),
        load=tuple(_load_read(reading, body.get("load", []))),
        groundbait_limit_l=limits.get("groundbait"),
        bait_limit_l=limits.get("bait"),
        **properties,
    )


def _together_note(reading: Reading, *, mix: MixRequest | None, test: SqueezeTest | None) -> None:
    """What is right by itself and cannot be together."""
    smaller = "What goes into a ball must be smaller than the ball."
    if mix is not None:
        if not mix.balls and mix.load_l:
            words = "Say how many balls the load goes into, or leave the load out."
            reading.fault(("balls",), words)
        for n, particles in enumerate(mix.load):
            if particles.size_m >= mix.ball_m:
                reading.fault(("load", n, "size_m"), smaller)
    if test is not None:
        if test.size_m is not None and test.size_m >= test.ball_m:
            reading.fault(("squeeze_test", "size_m"), smaller)
        for key, words in squeeze_faults(test):
            reading.fault(("squeeze_test", key), words)


def _dry_read(reading: Reading, raw: object) -> Iterator[Fraction]:
    for n, item in enumerate(_items(reading, raw, ("dry",))):
        where: Where = ("dry", n)
        body = reading.read_object(item, where, needs=("name", *_AMOUNT), may=(_DENSITY,))
        _name_read(reading, body, where)
        yield _litres(reading, body, where)


def _load_read(reading: Reading, raw: object) -> Iterator[Particles]:
    for n, item in enumerate(_items(reading, raw, ("load",))):
        where: Where = ("load", n)
        body = reading.read_object(item, where, needs=("name", *_AMOUNT, "size_m"), may=(_DENSITY,))
        _name_read(reading, body, where)
        litres = _litres(reading, body, where)
        size = _number(reading, body, "size_m", where, default=Fraction(1))
        yield Particles(litres, size)


def _items(reading: Reading, raw: object, where: Where) -> list[object]:
    items = reading.read_list(raw, where)
    if len(items) > MOST_ITEMS:
        reading.fault(where, f"Use at most {MOST_ITEMS}.")
    return items[:MOST_ITEMS]


def _name_read(reading: Reading, body: dict[str, Any], where: Where) -> None:
    if "name" in body:
        reading.read_id(body["name"], (*where, "name"))


def _amount_item(reading: Reading, raw: object, where: Where) -> Fraction:
    body = reading.read_object(raw, where, needs=_AMOUNT, may=(_DENSITY,))
    return _litres(reading, body, where)


def _litres(reading: Reading, body: dict[str, Any], where: Where) -> Fraction:
    """The amount in litres; a weight needs the thing's density."""
    amount = amount_read(body.get("amount", "0"))
    if amount is None:
        words = f'Write a decimal string such as "2.5", from 0 to {MOST_AMOUNT}.'
        reading.fault((*where, "amount"), words)
    density = body.get(_DENSITY)
    if density is not None:
        density = reading.read_decimal(density, (*where, _DENSITY), most=MOST_DENSITY)
    if "unit" not in body:
        return Fraction(0)
    unit = reading.read_word(body["unit"], (*where, "unit"), words=tuple(UNITS))
    litres = amount_convert(amount or Fraction(0), unit=unit, to="L", density=density)
    if litres is None:
        words = "Give a volume, or a weight together with a bulk_density_kg_per_l."
        reading.fault((*where, "unit"), words)
        return Fraction(0)
    return litres


def _limits_read(reading: Reading, raw: object) -> dict[str, Fraction]:
    if raw is None:
        return {}
    body = reading.read_object(raw, ("limits",), needs=(), may=("groundbait", "bait"))
    return {
        name: _amount_item(reading, body[name], ("limits", name))
        for name in ("groundbait", "bait")
        if body.get(name) is not None
    }


def _test_read(
    reading: Reading, body: dict[str, Any], *, ball_m: Fraction, packing: Fraction
) -> SqueezeTest | None:
    raw = body.get("squeeze_test")
    if raw is None:
        if "squeeze_test" in body and "dry" not in body:
            reading.fault(("squeeze_test",), "Say what you tried, or send a mix.")
        return None
    where: Where = ("squeeze_test",)
    tried = reading.read_object(
        raw, where, needs=(), may=("load_l_per_ball", "size_m", "loose_l_per_ball")
    )
    if isinstance(raw, dict) and not {"load_l_per_ball", "loose_l_per_ball"} & set(tried):
        words = "Give the most load a ball took, or the loose mix a ball took, or both."
        reading.fault(where, words)
    loose = load = size = None
    if "load_l_per_ball" in tried:
        load = _tried_litres(reading, tried, "load_l_per_ball")
        if "size_m" in tried:
            size = _number(reading, tried, "size_m", where, default=Fraction(1))
        else:
            reading.fault((*where, "size_m"), "This key is missing: add it.")
    elif "size_m" in tried:
        reading.fault((*where, "load_l_per_ball"), "This key is missing: add it.")
    if "loose_l_per_ball" in tried:
        loose = _tried_litres(reading, tried, "loose_l_per_ball")
    return SqueezeTest(ball_m, load, size, packing, loose)


def squeeze_faults(test: SqueezeTest) -> Iterator[tuple[str, str]]:
    """What no squeeze test can have shown: the key it stands at, and what to do."""
    ball = ball_litres(test.ball_m)
    if test.load_l is not None and test.load_l * test.packing > RANDOM_CLOSE_PACKING * ball:
        yield (
            "load_l_per_ball",
            "No ball of this size holds that much: measure its load and its width again.",
        )
    if test.loose_l is not None and not ball <= test.loose_l <= 100 * ball:
        yield (
            "loose_l_per_ball",
            "A ball takes more loose mix than its own size, and not a hundredfold: "
            "measure both again.",
        )


def _tried_litres(reading: Reading, tried: dict[str, Any], key: str) -> Fraction:
    value = tried[key]
    at: Where = ("squeeze_test", key)
    return reading.read_number(value, at, least="0.000001", most="1000")


def _number(
    reading: Reading, body: dict[str, Any], key: str, where: Where, *, default: Fraction
) -> Fraction:
    if key not in body:
        return default
    least, most = RANGES[key]
    return reading.read_number(body[key], (*where, key), least=least, most=most)
