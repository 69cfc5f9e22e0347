"""How litres of a limit are said on a page."""

from __future__ import annotations

from fractions import Fraction

from django import template

from bait.reckon.plans import amount_text
from web.measures_said import numeral

register = template.Library()


@register.filter
def litres(value: Fraction | None) -> str:
    """Litres as they were set, not rounded; nothing for None."""
    return "" if value is None else numeral(amount_text(value))
