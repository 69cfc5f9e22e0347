"""What a late change costs: two versions of an order beside each other."""

from __future__ import annotations

from collections.abc import Callable, Hashable, Iterable, Mapping
from dataclasses import dataclass
from typing import Any, TypeVar

from bait.models import OrderLine, OrderVersion, Pack, Share, Shop
from matches.models import Angler
from matches.reckon.money import pence_parse

from .orders import versions_fill


@dataclass(frozen=True, slots=True)
class Difference:
    """Pence before and after of one thing: a line, a member's share, a shop's delivery."""

    before: int
    after: int

    @property
    def more(self) -> int:
        """Above zero: dearer than before."""
        return self.after - self.before


@dataclass(frozen=True, slots=True)
class LineChange:
    """A line that is not as it was. Packs and pence; nought where it was (or is) not bought."""

    pack: Pack
    packs_before: int
    packs_after: int
    cost: Difference


@dataclass(frozen=True, slots=True)
class MemberChange:
    """What a member is due before and after, in pence."""

    angler: Angler
    due: Difference


@dataclass(frozen=True, slots=True)
class DeliveryChange:
    """A shop's delivery before and after, in pence."""

    shop: Shop
    fee: Difference


@dataclass(frozen=True, slots=True)
class OrderChanges:
    """What accepting `after` in place of `before` does. Lines' and deliveries' pence together are
    the total's, and so are the members'."""

    before: OrderVersion
    after: OrderVersion
    lines: tuple[LineChange, ...]
    deliveries: tuple[DeliveryChange, ...]
    members: tuple[MemberChange, ...]

    @property
    def total(self) -> Difference:
        return Difference(self.before.total_pence, self.after.total_pence)

    @property
    def saved(self) -> int:
        """Pence that the change saves; below zero where it costs more."""
        return -self.total.more

    @property
    def same(self) -> bool:
        """Whether nothing would have to be told to any shop."""
        return not self.lines and not self.deliveries


def order_changes(before: OrderVersion, after: OrderVersion) -> OrderChanges:
    """Line by line and member by member, only what changes. Two queries."""
    versions_fill(before, after)
    lines = _lines(before, after)
    return OrderChanges(
        before=before,
        after=after,
        lines=_line_changes(lines, before=before),
        deliveries=_delivery_changes(lines, before=before, after=after),
        members=_member_changes(before, after),
    )


def _lines(before: OrderVersion, after: OrderVersion) -> list[OrderLine]:
    return sorted(
        [*before.lines.all(), *after.lines.all()],
        key=lambda line: (line.pack.shop.name, line.pack.bait.name, line.pack_id),
    )


def _line_changes(lines: list[OrderLine], *, before: OrderVersion) -> tuple[LineChange, ...]:
    found = []
    for pack, first, then in _pairs(lines, before=before, of=lambda x: x.pack):
        change = LineChange(
            pack=pack,
            packs_before=sum(line.packs for line in first),
            packs_after=sum(line.packs for line in then),
            cost=Difference(_cost(first), _cost(then)),
        )
        if change.packs_before != change.packs_after or change.cost.more:
            found.append(change)
    return tuple(found)


def _delivery_changes(
    lines: list[OrderLine], *, before: OrderVersion, after: OrderVersion
) -> tuple[DeliveryChange, ...]:
    found = []
    for shop, first, then in _pairs(lines, before=before, of=lambda x: x.pack.shop):
        fee = Difference(
            delivery_of(before.inputs, shop=shop.key, goods=_cost(first)) if first else 0,
            delivery_of(after.inputs, shop=shop.key, goods=_cost(then)) if then else 0,
        )
        if fee.more:
            found.append(DeliveryChange(shop, fee))
    return tuple(found)


def delivery_of(inputs: Mapping[str, Any], *, shop: str, goods: int) -> int:
    """The fee in pence on so much goods, by the terms a version was worked out with."""
    terms = next(row for row in inputs["suppliers"] if row["id"] == shop)
    free = terms["free_delivery_from"]
    waived = free is not None and goods >= pence_parse(free)
    return 0 if waived else pence_parse(terms["delivery_fee"])


def _member_changes(before: OrderVersion, after: OrderVersion) -> tuple[MemberChange, ...]:
    shares = sorted(
        [*before.shares.all(), *after.shares.all()],
        key=lambda share: (share.angler.name, share.angler_id),
    )
    found = [
        MemberChange(
            angler,
            Difference(
                sum(share.due_pence for share in first), sum(share.due_pence for share in then)
            ),
        )
        for angler, first, then in _pairs(shares, before=before, of=lambda share: share.angler)
    ]
    return tuple(change for change in found if change.due.more)


def _cost(lines: Iterable[OrderLine]) -> int:
    return sum(line.cost_pence for line in lines)


Row = TypeVar("Row", OrderLine, Share)


def _pairs(
    rows: list[Row], *, before: OrderVersion, of: Callable[[Row], Any]
) -> list[tuple[Any, list[Row], list[Row]]]:
    """What rows of two versions are of, with those of `before` and those of the other, in the order
    they come in."""
    found: dict[Hashable, tuple[Any, list[Row], list[Row]]] = {}
    for row in rows:
        thing = of(row)
        pair = found.setdefault(thing.pk, (thing, [], []))
        pair[1 if row.version_id == before.pk else 2].append(row)
    return list(found.values())
