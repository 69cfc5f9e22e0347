"""How values are said on a page; nothing is decided here."""

from __future__ import annotations

import datetime as dt
import zoneinfo
from typing import Any

from django import template
from django.utils.formats import date_format
from django.utils.html import format_html
from django.utils.translation import gettext as _

from matches.models import Angler, EntryStatus
from matches.reads.moves import Move
from matches.reckon.weights import WeightUnit
from web.measures_said import numeral, weight_said
from web.place_words import move_words, parting_words

register = template.Library()

register.filter("numeral", lambda value: numeral(str(value)))


@register.filter
def weight(value: int | None, unit: WeightUnit) -> str:
    """A weight as it is said at the scales; nothing for None."""
    return "" if value is None else weight_said(value, unit)


@register.filter
def caught(value: int | None, unit: WeightUnit) -> str:
    """An angler's weight as it is said; a blank is called one."""
    return _("blank") if value == 0 else weight(value, unit)


@register.filter
def in_zone(value: dt.datetime | None, zone: str) -> str:
    """A moment in the venue's zone: "20 Jun 2026, 09:00"."""
    if value is None:
        return ""
    try:
        local = value.astimezone(zoneinfo.ZoneInfo(zone))
    except (zoneinfo.ZoneInfoNotFoundError, ValueError):
        return date_format(value, _("j M Y, H:i")) + " UTC"
    return date_format(local, _("j M Y, H:i"))


@register.filter
def clock(value: dt.datetime | None, zone: str) -> str:
    """The time of day in the venue's zone."""
    return in_zone(value, zone).rpartition(", ")[2]


@register.filter
def member(angler: Angler) -> str:
    """A member's name as who orders for the team reads it; on paper, which goes round, as the
    public does."""
    if angler.public_name == angler.name:
        return angler.name
    return format_html(
        '<span class="no-print">{}</span><span class="on-paper">{}</span>',
        angler.name,
        angler.public_name,
    )


@register.filter
def or_dash(value: Any) -> str:
    """The value, or a dash where there is none."""
    return _("none") if value in (None, "", []) else str(value)


@register.filter
def named(key: str, names: dict[str, str]) -> str:
    """The name behind a key."""
    return names.get(key, key)


@register.filter
def status_word(status: str) -> str:
    """What an entry's status is called."""
    return str(EntryStatus(status).label) if status in EntryStatus.values else status


@register.filter
def moved(move: Move) -> str:
    """A move in words."""
    return move_words(move)


@register.filter
def moved_along(moves: list[Move]) -> list[Move]:
    """Those of the sections who moved because of others."""
    return [m for m in moves if m.section is not None and not m.mended]


@register.filter
def parted(row: Any, unit: WeightUnit) -> str:
    """Why this one is ahead of the next who is level on points."""
    return parting_words(row, unit)


@register.filter
def instead(key: str, others: dict[str, str]) -> str | None:
    """Who stands in for the one behind a key, "" for nobody; None where nothing changed."""
    return others.get(key)
