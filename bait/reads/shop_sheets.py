"""What is sent to a shop, and when: a change in words, lines for a file, a calendar."""

from __future__ import annotations

import datetime as dt
import re
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from django.utils.translation import gettext as _

from bait.models import Order, OrderVersion, Shop
from matches.models import Match, Team
from matches.reckon.money import pence_format

from .order_changes import LineChange, OrderChanges
from .order_life import cut_off_at
from .order_shown import ShopPart

COLUMNS = ("shop", "bait", "pack", "unit", "packs", "each", "cost")
_LINE_OCTETS = 75
_CONTROLS = re.compile("[\x00-\x08\x0b-\x1f\x7f-\x9f\u2028\u2029]")


def change_notes(changes: OrderChanges, *, team: Team, match: Match) -> list[tuple[Shop, str]]:
    """For every shop that a late change touches, what to write to it."""
    by_shop: dict[int, tuple[Shop, list[LineChange]]] = {}
    for line in changes.lines:
        if line.packs_before != line.packs_after:
            by_shop.setdefault(line.pack.shop_id, (line.pack.shop, []))[1].append(line)
    head = _("%(team)s – %(match)s, %(date)s: a change to our order") % {
        "team": team.name,
        "match": match.name,
        "date": f"{match.date:%d.%m.%Y}",
    }
    return [
        (shop, "\n".join([head, "", *(_change_words(line) for line in lines)]))
        for shop, lines in by_shop.values()
    ]


def _change_words(line: LineChange) -> str:
    what = f"{line.pack.bait.name}, {line.pack.amount.normalize():f} {line.pack.unit}"
    words = {"what": what, "before": line.packs_before, "after": line.packs_after}
    if not line.packs_before:
        return _("%(after)d × %(what)s (new)") % words
    if not line.packs_after:
        return _("no more %(what)s (it was %(before)d ×)") % words
    return _("%(after)d × %(what)s (instead of %(before)d)") % words


def shop_rows(parts: Iterable[ShopPart]) -> list[tuple[str, ...]]:
    """One row a line, as `COLUMNS` has them; money as decimal strings."""
    return [
        (
            part.name,
            line.pack.bait.name,
            f"{line.pack.amount.normalize():f}",
            line.pack.unit,
            str(line.packs),
            pence_format(line.unit_price_pence),
            pence_format(line.cost_pence),
        )
        for part in parts
        for line in part.lines
    ]


@dataclass(frozen=True, slots=True)
class Event:
    """One entry of a calendar: a moment, or a whole day."""

    uid: str
    at: dt.datetime | dt.date
    summary: str
    note: str


def order_calendar(order: Order, *, version: OrderVersion, shops: Sequence[Shop]) -> str:
    """Each shop's cut-off and the day to collect from it, as an iCalendar file (RFC 5545).

    Collection is the day before the match, or the match day where a shop takes orders that late:
    common practice, no source.
    """
    match = order.match
    events = [event for shop in shops for event in _shop_events(order, shop=shop, match=match)]
    lines = [
        "BEGIN:VCALENDAR",
        "VERSION:2.0",
        "PRODID:-//Drawbag//Bait order//EN",
        "CALSCALE:GREGORIAN",
    ]
    for event in events:
        lines += _event_lines(event, stamp=version.made_at)
    return "".join(f"{_folded(line)}\r\n" for line in [*lines, "END:VCALENDAR"])


def _shop_events(order: Order, *, shop: Shop, match: Match) -> list[Event]:
    names = {"shop": shop.name, "match": match.name}
    collected = match.date - dt.timedelta(days=min(1, shop.lead_days))
    return [
        Event(
            f"order-{order.pk}-{shop.key}-cut-off@drawbag",
            cut_off_at(shop, match=match),
            _("Order bait from %(shop)s by now") % names,
            _("For %(match)s. Later orders may not be ready.") % names,
        ),
        Event(
            f"order-{order.pk}-{shop.key}-collect@drawbag",
            collected,
            _("Collect bait from %(shop)s") % names,
            _("For %(match)s. Keep live bait cool.") % names,
        ),
    ]


def _event_lines(event: Event, *, stamp: dt.datetime) -> list[str]:
    return [
        "BEGIN:VEVENT",
        f"UID:{_escaped(event.uid)}",
        f"DTSTAMP:{_utc(stamp)}",
        f"DTSTART:{_utc(event.at)}"
        if isinstance(event.at, dt.datetime)
        else f"DTSTART;VALUE=DATE:{event.at:%Y%m%d}",
        f"SUMMARY:{_escaped(event.summary)}",
        f"DESCRIPTION:{_escaped(event.note)}",
        "END:VEVENT",
    ]


def _utc(moment: dt.datetime) -> str:
    return f"{moment.astimezone(dt.UTC):%Y%m%dT%H%M%SZ}"


def _escaped(text: str) -> str:
    """A text value (RFC 5545, 3.3.11): backslash, semicolon, comma and line ends.

    What controls a terminal, or ends a line for some readers only, has no place in one.
    """
    for raw, safe in (("\\", "\\\\"), (";", "\\;"), (",", "\\,"), ("\r\n", "\n"), ("\r", "\n")):
        text = text.replace(raw, safe)
    return _CONTROLS.sub("", text).replace("\n", "\\n")


def _folded(line: str) -> str:
    """At most 75 octets a line (RFC 5545, 3.1), never cut within a character."""
    pieces, piece, octets = [], "", 0
    for letter in line:
        size = len(letter.encode())
        if octets + size > _LINE_OCTETS:
            pieces.append(piece)
            piece, octets = " ", 1
        piece, octets = piece + letter, octets + size
    return "\r\n".join([*pieces, piece])
