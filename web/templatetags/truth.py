"""How weights and points of a season are said; nothing is decided here."""

from __future__ import annotations

from fractions import Fraction

from django import template
from django.utils.translation import gettext as _

from bait.reckon.plans import amount_text
from web.measures_said import numeral

register = template.Library()


@register.filter
def kilos(grams: Fraction) -> str:
    """ "12.35 kg", to the nearest ten grams."""
    tens = round(grams / 10)
    return numeral(_("%(kg)s kg") % {"kg": f"{tens // 100}.{tens % 100:02d}"})


@register.filter
def points(value: Fraction) -> str:
    """Section points, to the nearest hundredth."""
    return numeral(amount_text(round(value, 2)))
