"""Money in whole pence, and the fair splitting of a whole number."""

from __future__ import annotations

import re
from collections.abc import Mapping
from fractions import Fraction
from typing import TypeVar

from .decimals import point_typed
from .errors import BadInput, Fault

K = TypeVar("K", bound=str)
_DECIMAL = re.compile(r"([0-9]{1,9})(?:\.([0-9]{1,2}))?")


def pence_parse(text: str, *, pointer: str = "") -> int:
    """Pence in a decimal string of pounds such as "4.20".

    Raises BadInput (at `pointer`) for anything but digits with at most two places.
    """
    found = _DECIMAL.fullmatch(text) if isinstance(text, str) else None
    if not found:
        raise BadInput(Fault(pointer, 'Write money as a string such as "4.20", not below zero.'))
    return int(found[1]) * 100 + int((found[2] or "").ljust(2, "0"))


def money_typed(text: str) -> int:
    """Pence of money as people type it: "£12.40", "12,40 €", "12". Raises BadInput."""
    return pence_parse(point_typed(text.strip().strip("£€")))


def pence_format(pence: int) -> str:
    """`pence` as a decimal string of pounds with two places: 420 is "4.20", -5 is "-0.05"."""
    sign = "-" if pence < 0 else ""
    pounds, rest = divmod(abs(pence), 100)
    return f"{sign}{pounds}.{rest:02d}"


def largest_remainder(whole: int, parts: Mapping[K, Fraction | int]) -> dict[K, int]:
    """Split `whole` (≥ 0, for example pence) in proportion to `parts`, to the last unit.

    Each part gets the whole number below its exact quota; what is left goes one unit each to
    the largest remainders, ties to the smallest key by UTF-8 bytes (Hamilton's method, common
    practice). When every part is zero the whole is split evenly. The values add up to `whole`.

    Raises ValueError for a negative whole or part, or for nobody to share with.
    """
    if whole < 0 or any(p < 0 for p in parts.values()):
        raise ValueError("only amounts of zero or more can be split")
    if not parts:
        if whole:
            raise ValueError("nobody to share with")
        return {}
    total = sum((Fraction(p) for p in parts.values()), Fraction(0))
    weights = parts if total else dict.fromkeys(parts, 1)
    total = total or Fraction(len(parts))
    quotas = {k: whole * Fraction(p) / total for k, p in weights.items()}
    given = {k: q.numerator // q.denominator for k, q in quotas.items()}
    order = sorted(quotas, key=lambda k: (given[k] - quotas[k], k.encode()))
    for k in order[: whole - sum(given.values())]:
        given[k] += 1
    return given
