"""Exact decimal strings: read into fractions, written without a float between."""

from __future__ import annotations

import re
from fractions import Fraction

_DECIMAL = re.compile(r"([0-9]{1,9})(?:\.([0-9]{1,4}))?")


def decimal_read(raw: object) -> Fraction | None:
    """The exact value of a string such as "5.5" (at most nine digits and four places).

    None when `raw` is not such a string: the caller knows where it stood and what to say.
    """
    found = _DECIMAL.fullmatch(raw) if isinstance(raw, str) else None
    return Fraction(raw) if found and isinstance(raw, str) else None


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
