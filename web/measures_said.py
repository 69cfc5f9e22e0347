"""How numbers are said to a person: with the decimal sign of the language, and with the other
system's measure beside an amount for who chose so. Nothing is stored, bought or judged by it.
"""

from __future__ import annotations

import re
from fractions import Fraction

from django.utils.translation import get_language
from django.utils.translation import gettext as _

from bait.reckon.units import UNITS, VOLUME, unit_sort
from matches.models import Measures
from matches.reckon.weights import WeightUnit, weight_text

_POINT = re.compile(r"(?<=\d)\.(?=\d)")
#: The legal foot in metres (UK Weights and Measures Act 1985: the yard is 0.9144 m).
FOOT = Fraction("0.3048")
UK = frozenset({"pint", "lb", "oz", "ft"})
METRIC = frozenset({"L", "ml", "kg", "g", "m"})


def numeral(text: str) -> str:
    """Text with numbers in it, with the decimal sign of the language spoken."""
    return _POINT.sub(",", text) if (get_language() or "").startswith("fr") else text


def weight_said(weight: int, unit: WeightUnit) -> str:
    """A weight in the match's unit as it is said at the scales: "4.250 kg", "4,250 kg"."""
    return numeral(weight_text(weight, unit=unit))


def beside(amount: Fraction, *, unit: str, measures: str) -> str:
    """ "1.14 L" for 2 pints and who wants metric ones; "" where nothing is to be said beside it.

    `unit` as in `bait.reckon.units`, or "m" and "ft". To the hundredth, feet and ounces to the
    tenth, a half away from nought.
    """
    if measures == Measures.METRIC and unit in UK:
        return numeral(_metric(amount, unit))
    if measures == Measures.UK and unit in METRIC:
        return numeral(_uk(amount, unit))
    return ""


def _metric(amount: Fraction, unit: str) -> str:
    if unit == "ft":
        return f"{_rounded(amount * FOOT, 2)} m"
    size = amount * UNITS[unit][1]
    if unit_sort(unit) == VOLUME:
        return f"{_rounded(size, 2)} L"
    return f"{_rounded(size, 2)} kg" if size >= 1 else f"{_rounded(size * 1000, 0)} g"


def _uk(amount: Fraction, unit: str) -> str:
    if unit == "m":
        return _("%(n)s ft") % {"n": _rounded(amount / FOOT, 1)}
    size = amount * UNITS[unit][1]
    if unit_sort(unit) == VOLUME:
        return _("%(n)s pt") % {"n": _rounded(size / UNITS["pint"][1], 2)}
    pounds = size / UNITS["lb"][1]
    return f"{_rounded(pounds, 2)} lb" if pounds >= 1 else f"{_rounded(pounds * 16, 1)} oz"


def _rounded(value: Fraction, places: int) -> str:
    steps = int(abs(value) * 10**places + Fraction(1, 2))
    whole, rest = divmod(steps, 10**places)
    return f"{whole}.{rest:0{places}d}" if places else str(whole)
