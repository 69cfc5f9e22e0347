"""One bait's amount in another unit, exactly. Factors: UK Weights and Measures Act 1985."""

from __future__ import annotations

from fractions import Fraction
from typing import Final

LITRES: Final = {"L": Fraction(1), "ml": Fraction(1, 1000), "pint": Fraction("0.56826125")}
KILOGRAMS: Final = {
    "kg": Fraction(1),
    "g": Fraction(1, 1000),
    "lb": Fraction("0.45359237"),
    "oz": Fraction("0.45359237") / 16,
}
UNITS: Final = (*LITRES, *KILOGRAMS, "each")


def amount_convert(
    amount: Fraction, *, unit: str, to: str, density: Fraction | None
) -> Fraction | None:
    """`amount` of `unit` in the unit `to`; `density` in kg of bait per litre.

    None where they do not fit: a count never turns into a volume or a mass, and volume and mass
    turn into each other only with a density.
    """
    if unit == to and unit in UNITS:
        return amount
    for table in (LITRES, KILOGRAMS):
        if unit in table and to in table:
            return amount * table[unit] / table[to]
    if density is None:
        return None
    if unit in LITRES and to in KILOGRAMS:
        return amount * LITRES[unit] * density / KILOGRAMS[to]
    if unit in KILOGRAMS and to in LITRES:
        return amount * KILOGRAMS[unit] / density / LITRES[to]
    return None
