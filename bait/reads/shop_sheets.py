"""What is sent to a shop, and when: a change in words, lines for a file, a calendar."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable, Sequence

from django.utils.translation import gettext as _

from bait.models import Order, OrderVersion, Shop
from bait.words import pack_said
from matches.models import Match, Team
from matches.reckon.calendars import Event, calendar_text
from matches.reckon.decimals import decimal_plain
from matches.reckon.money import pence_format

from .order_changes import LineChange, OrderChanges
from .order_life import cut_off_at
from .order_shown import ShopPart

COLUMNS = ("shop", "bait", "pack", "unit", "packs", "each", "cost")


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
    what = pack_said(line.pack)
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
            decimal_plain(line.pack.amount),
            line.pack.unit,
            str(line.packs),
            pence_format(line.unit_price_pence),
            pence_format(line.cost_pence),
        )
        for part in parts
        for line in part.lines
    ]


def order_calendar(order: Order, *, version: OrderVersion, shops: Sequence[Shop]) -> str:
    """Each shop's cut-off and the day to collect from it, as an iCalendar file (RFC 5545).

    Collection is the day before the match, or the match day where a shop takes orders that late:
    common practice, no source.
    """
    stamp = version.made_at
    events = (e for shop in shops for e in shop_events(order, shop=shop, stamp=stamp))
    return calendar_text(events, product="Bait order")


def shop_events(order: Order, *, shop: Shop, stamp: dt.datetime) -> list[Event]:
    """By when a shop must have the order, and when to collect it."""
    match = order.match
    names = {"shop": shop.name, "match": match.name}
    collected = match.date - dt.timedelta(days=min(1, shop.lead_days))
    return [
        Event(
            f"order-{order.pk}-{shop.key}-cut-off@drawbag",
            cut_off_at(shop, match=match),
            _("Order bait from %(shop)s by now") % names,
            _("For %(match)s. Later orders may not be ready.") % names,
            stamp,
        ),
        Event(
            f"order-{order.pk}-{shop.key}-collect@drawbag",
            collected,
            _("Collect bait from %(shop)s") % names,
            _("For %(match)s. Keep live bait cool.") % names,
            stamp,
        ),
    ]
