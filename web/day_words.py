"""A day as it is said near it: today, tomorrow, this Saturday, in 5 days; always with its date."""

from __future__ import annotations

import datetime as dt

from django.utils.formats import date_format
from django.utils.translation import gettext as _

#: Further off than this many days the date alone says more.
NEAR = 14


def day_words(day: dt.date, *, today: dt.date) -> str:
    """The day with its whole date, and before it how near it is; both in the same zone.

    Of the days of this week still to come the name of the day says it: "this Saturday".
    """
    whole = date_format(day, "l j F Y")
    if 1 < (day - today).days <= 6 - today.weekday():
        return _("this %(date)s") % {"date": whole}
    return near_beside(whole, day=day, today=today)


def near_beside(said: str, *, day: dt.date, today: dt.date) -> str:
    """`said`, a date or a moment of the day, and before it how near that is, if it is near."""
    away = (day - today).days
    near = {-1: _("yesterday"), 0: _("today"), 1: _("tomorrow")}.get(away)
    if near is None and 1 < away <= NEAR:
        near = _("in %(n)d days") % {"n": away}
    return _("%(near)s, %(date)s") % {"near": near, "date": said} if near else said
