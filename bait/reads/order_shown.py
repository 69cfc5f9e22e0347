"""One version of an order as a captain reads it: by shop, by member, and what is left over."""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping
from dataclasses import dataclass
from fractions import Fraction
from typing import Any

from django.utils.translation import gettext as _

from bait.models import Bait, LotState, OrderLine, OrderVersion, Shop
from bait.reckon.order import prepare
from bait.words import pack_said
from matches.models import Angler, Match, Team
from matches.reckon.money import pence_parse

from .baits import bait_facts, own_amount
from .orders import version_whole


@dataclass(frozen=True, slots=True)
class ShopPart:
    """What is bought from one shop, in pence."""

    shop: Shop
    lines: tuple[OrderLine, ...]
    goods: int
    delivery: int
    minimum: int
    free_from: int | None

    @property
    def name(self) -> str:
        return self.shop.name

    @property
    def total(self) -> int:
        return self.goods + self.delivery

    @property
    def packs(self) -> int:
        return sum(line.packs for line in self.lines)


@dataclass(frozen=True, slots=True)
class LotPart:
    """What a member is to get of a lot, as the version was worked out."""

    lot_id: int
    name: str
    amount: str
    unit: str
    state: str
    own: bool
    use_by: dt.date | None


@dataclass(frozen=True, slots=True)
class MemberPart:
    """What a member is handed, what it costs them, and what it would have cost alone (pence).

    `instead`: what of it stands in for another bait that is sold out, with both names. `larder`:
    what of it comes from which lot.
    """

    angler: Angler
    bag: tuple[dict[str, str], ...]
    instead: tuple[dict[str, str], ...]
    larder: tuple[LotPart, ...]
    due: int
    alone: int | None

    @property
    def saving(self) -> int | None:
        return None if self.alone is None else self.alone - self.due


@dataclass(frozen=True, slots=True)
class BaitLeft:
    """What is bought beyond all bags, in the bait's own unit."""

    name: str
    amount: Fraction
    unit: str


@dataclass(frozen=True, slots=True)
class VersionShown:
    """A version of an order as pages say it. `short`: what no shop has, and why. `lower_bound`: no
    order costs less, and `gap`: so much this one is above it; pence."""

    version: OrderVersion
    shops: tuple[ShopPart, ...]
    members: tuple[MemberPart, ...]
    left_over: tuple[BaitLeft, ...]
    short: tuple[dict[str, str], ...]
    lower_bound: int
    gap: int
    bait_names: Mapping[str, str]


def version_shown(version: OrderVersion) -> VersionShown:
    """A version with its lines, shares and bags: three queries."""
    version = version_whole(version)
    found = Bait.objects.filter(club__matches__orders=version.order_id).distinct()
    baits = {bait.key: bait for bait in found}
    names = {key: bait.name for key, bait in baits.items()}
    proof = version.answer["proof"]
    return VersionShown(
        version=version,
        shops=_shops(version),
        members=_members(version, names=names),
        left_over=tuple(_left(row, baits=baits) for row in version.answer["left_over"]),
        short=tuple(
            {**row, "why": _why_words(row["why"])}
            for row in _named(version.answer["short"], names=names)
        ),
        lower_bound=pence_parse(proof["lower_bound"]),
        gap=pence_parse(proof["gap"]),
        bait_names=names,
    )


def _shops(version: OrderVersion) -> tuple[ShopPart, ...]:
    terms = {supplier["id"]: supplier for supplier in version.inputs["suppliers"]}
    by_shop: dict[str, list[OrderLine]] = {}
    for line in version.lines.all():
        by_shop.setdefault(line.pack.shop.key, []).append(line)
    return tuple(_shop(lines, terms=terms[key]) for key, lines in by_shop.items())


def _shop(lines: list[OrderLine], *, terms: dict[str, Any]) -> ShopPart:
    """The terms are those the version was worked out with, not today's."""
    goods = sum(line.cost_pence for line in lines)
    free = terms["free_delivery_from"]
    free_from = None if free is None else pence_parse(free)
    paid = free_from is None or goods < free_from
    return ShopPart(
        shop=lines[0].pack.shop,
        lines=tuple(lines),
        goods=goods,
        delivery=pence_parse(terms["delivery_fee"]) if paid else 0,
        minimum=pence_parse(terms["minimum_spend"]),
        free_from=free_from,
    )


def _members(version: OrderVersion, *, names: Mapping[str, str]) -> tuple[MemberPart, ...]:
    bags: dict[str, list[dict[str, str]]] = {}
    for demand in version.inputs["demands"]:
        bags.setdefault(demand["member"], []).append(demand)
    return tuple(
        MemberPart(
            angler=share.angler,
            bag=_named(bags.get(str(share.angler_id), []), names=names),
            instead=_instead(version, member=str(share.angler_id), names=names),
            larder=_larder(version, member=str(share.angler_id), names=names),
            due=share.due_pence,
            alone=share.alone_pence,
        )
        for share in version.shares.all()
    )


def _instead(
    version: OrderVersion, *, member: str, names: Mapping[str, str]
) -> tuple[dict[str, str], ...]:
    rows = [row for row in version.answer.get("instead", ()) if row["member"] == member]
    return tuple(
        {**row, "instead_name": names.get(row["instead"], row["instead"])}
        for row in _named(rows, names=names)
    )


def _larder(version: OrderVersion, *, member: str, names: Mapping[str, str]) -> tuple[LotPart, ...]:
    return tuple(
        LotPart(
            lot_id=row["lot"],
            name=names.get(row["bait"], row["bait"]),
            amount=row["amount"],
            unit=row["unit"],
            state=str(LotState(row["state"]).label),
            own=row["own"],
            use_by=dt.date.fromisoformat(row["use_by"]) if row["use_by"] else None,
        )
        for row in version.answer.get("larder", ())
        if row["member"] == member
    )


def _left(row: Mapping[str, str], *, baits: Mapping[str, Bait]) -> BaitLeft:
    amount, unit, bait = Fraction(row["amount"]), row["unit"], baits.get(row["bait"])
    if bait is None:
        return BaitLeft(row["bait"], amount, unit)
    return BaitLeft(bait.name, *own_amount(bait_facts(bait), amount, unit=unit))


def _why_words(why: str) -> str:
    """The calculator's reason in a captain's words."""
    match why:
        case prepare.NO_PACK:
            return _("No shop that is bought from has it.")
        case prepare.MAX_PACKS:
            return _("The shops do not have enough of it.")
        case prepare.MINIMUM:
            return _("The only shops that have it ask for a minimum spend that cannot be reached.")
        case _:
            return why


def _named(rows: list[dict[str, Any]], *, names: Mapping[str, str]) -> tuple[dict[str, str], ...]:
    return tuple({**row, "name": names.get(row["bait"], row["bait"])} for row in rows)


def shop_note(part: ShopPart, *, team: Team, match: Match) -> str:
    """The order for one shop as plain text, to paste into a message."""
    lines = [f"{team.name} – {match.name}, {match.date:%d.%m.%Y}", ""]
    lines += [f"{line.packs} × {pack_said(line.pack)}" for line in part.lines]
    return "\n".join(lines)
