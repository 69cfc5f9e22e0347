"""What a prize is for, in words. Nothing is worked out here."""

from __future__ import annotations

from django.utils.translation import gettext as _

from matches.reckon.money import pence_format
from matches.reckon.payouts import Payment
from web.measures_said import numeral

from .place_words import ordinal


def payment_words(payment: Payment) -> str:
    """ "1st", "2nd and 3rd tied: 15.00 + 10.00 shared by 2", "best of section B, by default"."""
    if payment.reason == "section":
        return _section_words(payment)
    if payment.equals == 1:
        return ordinal(payment.prizes[0][0])
    places = [ordinal(place) for place, _pence in payment.prizes]
    sums = " + ".join(numeral(pence_format(pence)) for _place, pence in payment.prizes)
    said = {"places": _and(places), "sums": sums, "n": payment.equals}
    return _("%(places)s tied: %(sums)s shared by %(n)d") % said


def _section_words(payment: Payment) -> str:
    said = {"section": payment.section, "n": payment.equals}
    if payment.equals > 1 and payment.passed:
        return _("best of section %(section)s by default, shared by %(n)d") % said
    if payment.equals > 1:
        return _("best of section %(section)s, shared by %(n)d") % said
    if payment.passed:
        return _("best of section %(section)s by default: who was ahead is in the frame") % said
    return _("best of section %(section)s") % said


def _and(words: list[str]) -> str:
    if len(words) == 1:
        return words[0]
    return _("%(some)s and %(last)s") % {"some": ", ".join(words[:-1]), "last": words[-1]}
