"""Days on a page."""

from __future__ import annotations

import datetime as dt

from django import template
from django.utils import timezone
from django.utils.formats import date_format
from django.utils.html import format_html
from django.utils.translation import gettext as _

from matches.times import zone_named
from web.day_words import day_words, near_beside

from .shown import in_zone

register = template.Library()


@register.filter
def day_said(day: dt.date, zone: str) -> str:
    """How near the day is in the venue's zone, its date, and the date for programs."""
    today = timezone.localdate(timezone=zone_named(zone))
    return format_html(
        '<time datetime="{}">{}</time>', day.isoformat(), day_words(day, today=today)
    )


@register.filter
def day_dated(day: dt.date, zone: str) -> str:
    """The date alone, for pages that are kept or put on paper: how near it is in the venue's zone
    `js/days.js` writes before it, whenever the page is looked at."""
    whole = date_format(day, "l j F Y")
    words = '<time datetime="{}" data-near="{}">{}</time>'
    return format_html(words, day.isoformat(), zone, whole)


@register.filter
def day_soon(day: dt.date) -> str:
    """A day of the club's own: "tomorrow, 20 Jun 2026"."""
    return near_beside(date_format(day, _("j M Y")), day=day, today=timezone.localdate())


@register.filter
def moment_said(at: dt.datetime, zone: str) -> str:
    """A moment in the venue's zone: "tomorrow, 20 Jun 2026, 09:00"."""
    where = zone_named(zone)
    today = timezone.localdate(timezone=where)
    return near_beside(in_zone(at, zone), day=timezone.localdate(at, timezone=where), today=today)
