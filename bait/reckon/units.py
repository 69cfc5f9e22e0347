"""Amounts of bait in the units people think in, exactly.

Legal sizes (UK Weights and Measures Act 1985): 1 pint = 0.56826125 L, 1 lb = 0.45359237 kg,
1 oz = 1/16 lb. Volume, mass and count do not mix, except volume with mass where the bait carries
a bulk density in kilograms a litre.
"""

from __future__ import annotations

from fractions import Fraction
from typing import Final

from matches.reckon.decimals import decimal_read, decimal_text

VOLUME, MASS, COUNT = "volume", "mass", "count"

#: Of what sort each unit is, and how many litres, kilograms or pieces it holds.
UNITS: Final[dict[str, tuple[str, Fraction]]] = {
    "L": (VOLUME, Fraction(1)),
    "ml": (VOLUME, Fraction(1, 1000)),
    "pint": (VOLUME, Fraction("0.56826125")),
    "kg": (MASS, Fraction(1)),
    "g": (MASS, Fraction(1, 1000)),
    "lb": (MASS, Fraction("0.45359237")),
    "oz": (MASS, Fraction("0.45359237") / 16),
    "each": (COUNT, Fraction(1)),
}
BASE_UNIT: Final[dict[str, str]] = {VOLUME: "L", MASS: "kg", COUNT: "each"}
MOST_AMOUNT: Final = 100_000
MOST_DENSITY: Final = 25


def unit_sort(unit: str) -> str:
    """ "volume", "mass" or "count". Raises KeyError for a unit that is not in `UNITS`."""
    return UNITS[unit][0]


def amount_convert(
    amount: Fraction, *, unit: str, to: str, density: Fraction | None
) -> Fraction | None:
    """`amount` of `unit` in the unit `to`, exactly; `density` in kilograms a litre.

    None when the two do not mix: count with anything else, or volume with mass and no density.
    """
    sort, size = UNITS[unit]
    to_sort, to_size = UNITS[to]
    if sort == to_sort:
        return amount * size / to_size
    if density is None or COUNT in (sort, to_sort):
        return None
    factor = density if sort == VOLUME else 1 / density
    return amount * size * factor / to_size


def amount_read(raw: object, *, zero: bool = True) -> Fraction | None:
    """The exact value of a decimal string such as "2.5", from 0 (or above it) to 100,000.

    At most four places; no sign, no exponent. None for anything else: the caller knows where it
    stood and what to say.
    """
    value = decimal_read(raw)
    if value is None or value > MOST_AMOUNT or (not zero and not value):
        return None
    return value


def amount_down(amount: Fraction, *, unit: str) -> Fraction:
    """As a person writes what is left, never more than there is: to the hundredth, and of what
    is counted whole pieces."""
    steps = 1 if unit_sort(unit) == COUNT else 100
    return Fraction(int(amount * steps), steps)


def amount_finite(value: Fraction) -> bool:
    """Whether a decimal string can hold `value` exactly."""
    rest = value.denominator
    for prime in (2, 5):
        while rest % prime == 0:
            rest //= prime
    return rest == 1


def amount_format(value: Fraction) -> str:
    """The shortest exact decimal string. Raises ValueError when there is none (1/3)."""
    return decimal_text(value)
