"""Days of a match on a page."""

from __future__ import annotations

import datetime as dt

from django import template
from django.utils import timezone
from django.utils.html import format_html

from matches.times import zone_named
from web.day_words import day_words

register = template.Library()


@register.filter
def day_said(day: dt.date, zone: str) -> str:
    """How near the day is in the venue's zone, its date, and the date for programs."""
    today = timezone.localdate(timezone=zone_named(zone))
    return format_html(
        '<time datetime="{}">{}</time>', day.isoformat(), day_words(day, today=today)
    )
