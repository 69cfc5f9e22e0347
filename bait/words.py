"""Amounts and packs as people say them, on pages and in what is sent to a shop."""

from __future__ import annotations

from decimal import Decimal
from fractions import Fraction

from django.utils.translation import get_language, ngettext
from django.utils.translation import gettext as _

from matches.reckon.decimals import decimal_plain

from .models import LarderLot, Pack, Unit


def unit_said(unit: str, amount: Fraction | Decimal | str) -> str:
    """The unit as it is said with that amount: "pint" for 1, "pints" for 2.5."""
    match unit:
        case Unit.PINT:
            return ngettext("pint", "pints", _one_or_more(amount))
        case Unit.EACH:
            return _("pieces")
        case "bag":
            return ngettext("bag", "bags", _one_or_more(amount))
        case _:
            return unit


def _one_or_more(amount: Fraction | Decimal | str) -> int:
    """1 or 2, for what is said of one or of more: French says all below two as of one."""
    exact = Fraction(str(amount))
    if _french():
        return 1 if abs(exact) < 2 else 2
    return 1 if exact == 1 else 2


def _french() -> bool:
    return (get_language() or "").startswith("fr")


def amount_said(amount: Decimal, *, unit: str) -> str:
    """ "4 pints", all of its digits, with the decimal sign of the language spoken."""
    digits = decimal_plain(amount)
    digits = digits.replace(".", ",") if _french() else digits
    return f"{digits} {unit_said(unit, amount)}"


def pack_said(pack: Pack | LarderLot) -> str:
    """ "Caster, 4 pints", of a pack or a lot; expects its bait to be fetched."""
    return f"{pack.bait.name}, {amount_said(pack.amount, unit=pack.unit)}"
