"""A plan's mixes as they are sent in."""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction
from typing import NamedTuple

from bait.reckon.plans import PLAN_UNITS, MixPart, PlannedMix
from matches.reckon.reading import Reading, Where

from .content_fields import bait_key_read, list_read, ranged_read, whole_read, words_read

AMOUNT_MOST = 100_000
MOST_MIXES = 6
MOST_PARTS = 12
_NO_MIX = PlannedMix("", ())


class _Range(NamedTuple):
    least: Fraction
    most: Fraction
    places: int


#: What a mix's figures may be; the database holds the same.
MIX_RANGES = {
    "water_per_dry": _Range(Fraction(0), Fraction(3), 3),
    "swell": _Range(Fraction("0.3"), Fraction(5), 2),
    "squeeze": _Range(Fraction("0.2"), Fraction(1), 2),
    "packing": _Range(Fraction("0.3"), Fraction(1), 2),
    "film_mm": _Range(Fraction(0), Fraction(5), 2),
}


def mixes_read(reading: Reading, raw: Sequence[object]) -> tuple[PlannedMix, ...]:
    """The mixes, each of another name."""
    mixes = tuple(_mix(reading, mix, ("mixes", at)) for at, mix in enumerate(raw))
    reading.note_repeats(
        ((mix.name, ("mixes", at, "name")) for at, mix in enumerate(mixes)),
        message="Another mix of this plan has this name: give each its own.",
    )
    return mixes


def _mix(reading: Reading, raw: object, where: Where) -> PlannedMix:
    mix = reading.read_object(
        raw, where, needs=("name", "parts"), may=("rest_minutes", *MIX_RANGES)
    )
    name = words_read(reading, mix, "name", where, most=40)
    if "name" in mix and not name:
        reading.fault((*where, "name"), "Give the mix a name, such as base.")
    parts = list_read(reading, mix, "parts", where, most=MOST_PARTS)
    if mix.get("parts") == []:
        reading.fault((*where, "parts"), "Put at least one bait into the mix, or take it out.")
    figures = {
        key: ranged_read(
            reading, mix, key, where, **limits._asdict(), default=getattr(_NO_MIX, key)
        )
        for key, limits in MIX_RANGES.items()
    }
    return PlannedMix(
        name=name,
        parts=tuple(_part(reading, part, (*where, "parts", n)) for n, part in enumerate(parts)),
        rest_minutes=whole_read(
            reading, mix, "rest_minutes", where, least=0, most=240, default=_NO_MIX.rest_minutes
        ),
        **figures,
    )


def _part(reading: Reading, raw: object, where: Where) -> MixPart:
    part = reading.read_object(
        raw, where, needs=("bait", "amount", "unit"), may=("name", "after_rest")
    )
    bait, amount, unit = amount_of_bait_read(reading, part, where)
    after = "after_rest" in part and reading.read_flag(part["after_rest"], (*where, "after_rest"))
    return MixPart(bait, amount, unit, after_rest=after)


def amount_of_bait_read(
    reading: Reading, raw: dict[str, object], where: Where
) -> tuple[str, Fraction, str]:
    """A bait's key, how much of it, and in what; what is left out was noted before."""
    return (
        bait_key_read(reading, raw, "bait", where),
        reading.read_decimal(raw["amount"], (*where, "amount"), most=AMOUNT_MOST)
        if "amount" in raw
        else Fraction(1),
        reading.read_word(raw["unit"], (*where, "unit"), words=PLAN_UNITS)
        if "unit" in raw
        else "L",
    )
