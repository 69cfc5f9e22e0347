"""How money and amounts of bait are said on a page; nothing is decided here."""

from __future__ import annotations

from decimal import Decimal
from fractions import Fraction

from django import template
from django.utils.translation import get_language
from django.utils.translation import gettext as _

from bait.models import Bait
from bait.reckon.plans import amount_text
from bait.reckon.units import amount_down
from bait.words import unit_said
from matches.reckon.decimals import decimal_plain
from matches.reckon.money import pence_format
from web.measures_said import numeral

register = template.Library()
SIGNS = {"GBP": "£", "EUR": "€"}


@register.filter
def money(pence: int | None, currency: str) -> str:
    """Pence as "£4.20", or with the currency's code where we know no sign."""
    if pence is None:
        return ""
    sign = SIGNS.get(currency, f"{currency} ")
    minus, said = ("−" if pence < 0 else ""), numeral(pence_format(abs(pence)))
    if (get_language() or "").startswith("fr"):
        return f"{minus}{said}\u00a0{sign.strip()}"
    return f"{minus}{sign}{said}"


@register.filter
def amount(value: Fraction | Decimal | str) -> str:
    """An amount in its shortest form, rounded up at the second place where it is longer."""
    exact = value if isinstance(value, Fraction) else Fraction(str(value))
    hundredths = -(-exact.numerator * 100 // exact.denominator)
    return numeral(amount_text(Fraction(hundredths, 100)))


@register.filter
def left(value: Fraction, unit: str) -> str:
    """What is left of a bait, never more than there is: "0.33"."""
    return numeral(amount_text(amount_down(value, unit=unit)))


@register.filter
def unit_of(unit: str, value: Fraction | Decimal | str) -> str:
    """The unit as it is said with that amount: "pint" for 1, "pints" for 2.5."""
    return unit_said(unit, value)


@register.filter
def minutes(value: int) -> str:
    """Minutes from the start of the match: "10 min before", "start", "1 h 30"."""
    if value == 0:
        return _("the start")
    if value < 0:
        return _("%(n)d min before") % {"n": -value}
    hours, rest = divmod(value, 60)
    return f"{hours} h {rest:02d}" if hours else _("%(n)d min") % {"n": rest}


@register.filter
def bait_name(key: str, baits: dict[str, Bait]) -> str:
    """The name of the bait behind a key."""
    return baits[key].name


@register.filter
def exact(value: Decimal) -> str:
    """An amount as the ledger has it, without zeros at its end."""
    return numeral(decimal_plain(value))


#: The same in a field: with a point, as "12,125" may be thousands and would be refused.
register.filter("in_field", decimal_plain)


@register.filter
def size(value: Decimal) -> Decimal:
    """An amount without its sign."""
    return abs(value)
