"""An explanation laid out for the page: rows to compare, a bar to each, sentences beside."""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from bait.reads.explanations import Names
from bait.reads.order_life import cut_off_at
from matches.models import Match
from web.templatetags.money import money, unit_of
from web.why_words import WhyWords, pence

WIDTH = 320


@dataclass(frozen=True, slots=True)
class WayShown:
    """One way to buy. `total` in pence, None where something is `missing` or time ran out.

    `left_over`: bait by bait, of the first way; of the others what differs from it (`beside`).
    """

    name: str
    total: int | None
    difference: int | None
    packs: int
    left_over: list[str]
    beside: bool
    missing: str
    ready: str
    order_by: dt.datetime | None
    width: str
    known: bool


@dataclass(frozen=True, slots=True)
class StepShown:
    """One unit more or less of a bait; `tone` is "more", "less", "same", "missing" or "unknown"."""

    words: str
    tone: str
    changes: str
    width: str


@dataclass(frozen=True, slots=True)
class BaitShown:
    name: str
    unit: str
    more: StepShown
    less: StepShown


@dataclass(frozen=True, slots=True)
class Said:
    """A thing, what it costs in pence, and the sentences about it."""

    name: str
    cost: int
    words: list[str]


@dataclass(frozen=True, slots=True)
class WhyShown:
    total: int | None
    ways: list[WayShown]
    baits: list[BaitShown]
    lines: list[Said]
    shops: list[Said]
    left_out: list[str]


def why_shown(raw: Mapping[str, Any], *, names: Names, match: Match) -> WhyShown:
    """An explanation's JSON, laid out."""
    words = WhyWords(names, currency=match.club.currency)
    return WhyShown(
        total=None if raw["total"] is None else pence(raw["total"]),
        ways=_ways(raw["alternatives"], words=words, match=match),
        baits=_baits(raw["baits"], words=words),
        lines=[
            Said(words.line_name(line), pence(line["cost"]), words.line_words(line))
            for line in raw["lines"]
        ],
        shops=[
            Said(
                names.shop(shop["supplier"]),
                pence(shop["goods"]) + pence(shop["delivery"]),
                words.shop_words(shop),
            )
            for shop in raw["shops"]
        ],
        left_out=words.left_out(raw["left_out"]),
    )


def _ways(rows: list[dict[str, Any]], *, words: WhyWords, match: Match) -> list[WayShown]:
    most = max((pence(row["order"]["total"]) for row in rows if _whole(row)), default=0)
    first = next((row for row in rows if _whole(row)), None)
    return [_way(row, words=words, match=match, most=most, first=first) for row in rows]


def _whole(row: Mapping[str, Any]) -> bool:
    return row["order"] is not None and not row["order"]["missing"]


def _way(
    row: Mapping[str, Any],
    *,
    words: WhyWords,
    match: Match,
    most: int,
    first: Mapping[str, Any] | None,
) -> WayShown:
    order, total = row["order"], None
    if _whole(row):
        total = pence(order["total"])
    return WayShown(
        name=_way_name(row, names=words.names),
        total=total,
        difference=None if total is None else pence(order["difference"] or "0"),
        packs=order["packs"] if order else 0,
        left_over=_left_over(row, words=words, first=first),
        beside=row is not first,
        missing=words.amounts(order["missing"]) if order else "",
        ready=_ready(row["lead_days"]),
        order_by=_order_by(order, names=words.names, match=match) if _whole(row) else None,
        width=_units(total or 0, most=most),
        known=order is not None,
    )


def _left_over(
    row: Mapping[str, Any], *, words: WhyWords, first: Mapping[str, Any] | None
) -> list[str]:
    if first is None or not _whole(row):
        return []
    left = row["order"]["left_over"]
    if row is first:
        return words.left_over(left)
    return words.left_over_beside(left, other=first["order"]["left_over"])


def _way_name(row: Mapping[str, Any], *, names: Names) -> str:
    if row["kind"] == "only":
        return _("Only %(shop)s") % {"shop": names.shop(row["supplier"])}
    return _("Cheapest") if row["kind"] == "cheapest" else _("Ready soonest")


def _ready(lead_days: int | None) -> str:
    if lead_days is None:
        return ""
    if not lead_days:
        return _("ready the day it is ordered")
    return ngettext("ready a day after ordering", "ready %(n)d days after ordering", lead_days) % {
        "n": lead_days
    }


def _order_by(order: Mapping[str, Any], *, names: Names, match: Match) -> dt.datetime | None:
    """By when the first of its shops must have the order."""
    shops = [names.shops[key] for key in order["suppliers"] if key in names.shops]
    return min((cut_off_at(shop, match=match) for shop in shops), default=None)


def _baits(rows: list[dict[str, Any]], *, words: WhyWords) -> list[BaitShown]:
    steps = [row[way] for row in rows for way in ("one_more", "one_less") if row[way]]
    most = max((abs(pence(step["difference"] or "0")) for step in steps), default=0)
    return [
        BaitShown(
            words.names.bait(row["bait"]),
            unit_of(row["unit"], "1"),
            _step(row["one_more"], words=words, most=most, about=words.names.bait(row["bait"])),
            _step(row["one_less"], words=words, most=most, about=words.names.bait(row["bait"])),
        )
        for row in rows
    ]


def _step(order: Mapping[str, Any] | None, *, words: WhyWords, most: int, about: str) -> StepShown:
    if order is None:
        return StepShown(_("not worked out yet"), "unknown", "", "0.0")
    if order["difference"] is None:
        return StepShown(_("cannot be had"), "missing", "", "0.0")
    difference = pence(order["difference"])
    said = money(abs(difference), words.currency)
    width, changes = _units(abs(difference), most=most), words.changes(order, about=about)
    if difference > 0:
        return StepShown(_("%(cost)s more") % {"cost": said}, "more", changes, width)
    if difference < 0:
        return StepShown(_("%(cost)s less") % {"cost": said}, "less", changes, width)
    return StepShown(_("costs the same"), "same", changes, width)


def _units(value: int, *, most: int) -> str:
    """Text, so that no locale turns the point into a comma."""
    return f"{value * WIDTH / most:.1f}" if most else "0.0"
