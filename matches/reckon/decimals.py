"""Exact numbers as text: read into fractions or whole numbers, written without a float between."""

from __future__ import annotations

import re
from decimal import Decimal
from fractions import Fraction
from typing import Final

#: The smallest part of a unit that is written: four places after the point.
PARTS_OF_ONE: Final = 10_000
DIGITS_MOST: Final = 18
"""All numbers of so many digits fit into the databases' whole numbers of 64 bits."""
_DECIMAL = re.compile(r"([0-9]{1,9})(?:\.([0-9]{1,4}))?")
#: With three places some mean thousands, unless it begins with nought.
_COMMA = re.compile(r"0,[0-9]+|[0-9]+,(?:[0-9]{1,2}|[0-9]{4,})")


def point_typed(text: str) -> str:
    """A decimal as people type it, with a point: "2,5" is "2.5", "0,125" is "0.125".

    "1,250" stays as it is and is refused by whoever reads it: 1250 to some, 1.25 to others.
    """
    plain = text.strip()
    return plain.replace(",", ".") if _COMMA.fullmatch(plain) else plain


def decimal_read(raw: object) -> Fraction | None:
    """The exact value of a string such as "5.5" (at most nine digits and four places).

    None when `raw` is not such a string: the caller knows where it stood and what to say.
    """
    found = _DECIMAL.fullmatch(raw) if isinstance(raw, str) else None
    return Fraction(raw) if found and isinstance(raw, str) else None


def digits_read(text: str, *, most: int | None = None) -> int | None:
    """The whole number from 0 to `most` that `text` is; None for all but one to eighteen digits."""
    if not (text.isascii() and text.isdigit() and len(text) <= DIGITS_MOST):
        return None
    value = int(text)
    return value if most is None or value <= most else None


def rounded_up(amount: Fraction) -> Fraction:
    """The least whole number of ten-thousandths that is `amount` or more."""
    return Fraction(-(-amount.numerator * PARTS_OF_ONE // amount.denominator), PARTS_OF_ONE)


def rounded_down(amount: Fraction) -> Fraction:
    """The most ten-thousandths that are `amount` or less."""
    return Fraction(amount.numerator * PARTS_OF_ONE // amount.denominator, PARTS_OF_ONE)


def decimal_text(value: Fraction) -> str:
    """The shortest decimal string for `value`: 11/2 is "5.5", 7 is "7", -1/8 is "-0.125".

    Raises ValueError when no finite decimal is exact (1/3).
    """
    places = 0
    while 10**places % value.denominator:
        places += 1
        if places > value.denominator.bit_length():
            raise ValueError(f"{value} has no exact decimal")
    digits = str(abs(value.numerator) * 10**places // value.denominator).rjust(places + 1, "0")
    sign = "-" if value < 0 else ""
    return f"{sign}{digits[:-places]}.{digits[-places:]}" if places else f"{sign}{digits}"


def decimal_plain(value: Decimal) -> str:
    """All its digits, without noughts at its end or an exponent: 2.50 is "2.5", 1E+2 is "100"."""
    return f"{value.normalize():f}"
