"""The other system's measure beside an amount, for the person a page is for."""

from __future__ import annotations

from decimal import Decimal
from fractions import Fraction

from django import template
from django.template.context import Context

from web.measures_said import beside as said_beside

register = template.Library()


@register.simple_tag(takes_context=True)
def beside(context: Context, amount: Fraction | Decimal | str | None, unit: str) -> str:
    """ " (1.14 L)" after 2 pints, "" for who wants amounts as they are written."""
    measures = getattr(context.get("user"), "measures", "")
    if amount in (None, "") or not measures:
        return ""
    said = said_beside(Fraction(str(amount)), unit=unit, measures=measures)
    return f" ({said})" if said else ""


@register.simple_tag(takes_context=True)
def beside_cm(context: Context, cm: int) -> str:
    """ " (6.1 ft)" after 187 cm for who chose UK measures."""
    return beside(context, Fraction(cm, 100), "m")
