"""Amounts and packs as people say them, on pages and in what is sent to a shop."""

from __future__ import annotations

from decimal import Decimal
from fractions import Fraction

from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from matches.reckon.decimals import decimal_plain

from .models import Pack, Unit


def unit_said(unit: str, amount: Fraction | Decimal | str) -> str:
    """The unit as it is said with that amount: "pint" for 1, "pints" for 2.5."""
    match unit:
        case Unit.PINT:
            return ngettext("pint", "pints", 1 if Fraction(str(amount)) == 1 else 2)
        case Unit.EACH:
            return _("pieces")
        case "bag":
            return ngettext("bag", "bags", 1 if Fraction(str(amount)) == 1 else 2)
        case _:
            return unit


def amount_said(amount: Decimal, *, unit: str) -> str:
    """ "4 pints", all of its digits."""
    return f"{decimal_plain(amount)} {unit_said(unit, amount)}"


def pack_said(pack: Pack) -> str:
    """ "Caster, 4 pints"; expects the pack's bait to be fetched."""
    return f"{pack.bait.name}, {amount_said(pack.amount, unit=pack.unit)}"
