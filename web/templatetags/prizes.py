"""How prizes are said on a page; nothing is decided here."""

from __future__ import annotations

from django import template

from matches.reckon.payouts import Payment
from web.pool_words import payment_words

register = template.Library()


@register.filter
def what_for(payment: Payment) -> str:
    """What a payment is for: "1st", "best of section B"."""
    return payment_words(payment)
