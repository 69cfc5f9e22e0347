"""Fields of a plan as it is sent in, each read with its fault in its place."""

from __future__ import annotations

from fractions import Fraction
from typing import Any

from matches.reckon.decimals import decimal_read, decimal_text
from matches.reckon.reading import Reading, Where, is_storable


def list_read(
    reading: Reading, raw: dict[str, Any], key: str, where: Where, *, most: int
) -> list[object]:
    """The list at `key`, empty where it is left out; at most `most` of it."""
    if key not in raw:
        return []
    found = reading.read_list(raw[key], (*where, key))
    if len(found) > most:
        reading.fault((*where, key), f"Use at most {most}.")
    return found[:most]


def whole_read(
    reading: Reading,
    raw: dict[str, Any],
    key: str,
    where: Where,
    *,
    least: int,
    most: int,
    default: int | None = None,
) -> int:
    """The whole number at `key`; `default` (or `least`) where it is left out."""
    if key not in raw:
        return least if default is None else default
    return reading.read_whole(raw[key], (*where, key), least=least, most=most)


def words_read(reading: Reading, raw: dict[str, Any], key: str, where: Where, *, most: int) -> str:
    """The words at `key` without blanks round them; "" where they are left out."""
    value = raw.get(key, "")
    if not isinstance(value, str) or not is_storable(value):
        reading.fault((*where, key), "Write plain words here.")
        return ""
    if len(value) > most:
        reading.fault((*where, key), f"Keep this to {most} characters.")
    return value.strip()


def bait_key_read(reading: Reading, raw: dict[str, Any], key: str, where: Where) -> str:
    """The bait's key at `key`; "" where it is left out, which was noted before."""
    if key not in raw:
        return ""
    found = reading.read_id(raw[key], (*where, key))
    if not is_storable(found):
        reading.fault((*where, key), "The club has no such bait: choose another.")
        return ""
    return found


def ranged_read(
    reading: Reading,
    raw: dict[str, Any],
    key: str,
    where: Where,
    *,
    least: Fraction,
    most: Fraction,
    places: int,
    default: Fraction,
) -> Fraction:
    """The decimal string at `key`, from `least` to `most` with at most so many places."""
    if key not in raw:
        return default
    value = decimal_read(raw[key])
    if value is None or not least <= value <= most or (value * 10**places).denominator != 1:
        reading.fault(
            (*where, key),
            f"Write a decimal string from {decimal_text(least)} to {decimal_text(most)}, with at "
            f"most {places} places.",
        )
        return default
    return value
