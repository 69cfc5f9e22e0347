"""One bag for each member: from which pack or lot, how much, in order of packing."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from fractions import Fraction

from bait.models import BagTick, Bait, BaitKind, LarderLot, Order
from bait.reckon.bags import (
    Bags,
    Lacking,
    LeftOver,
    Piece,
    Source,
    Split,
    bags_pack,
    packing_place,
)
from bait.reckon.larder import FRESH, use_by_default
from bait.reckon.order.prepare import Scales
from bait.reckon.plans import amount_text
from matches.models import Angler

from .baits import bait_facts, own_amount
from .larder_takes import LotTaken, lots_taken
from .order_bill import LineCame, OrderBill, order_bill


@dataclass(frozen=True, slots=True)
class SourceShown:
    """A pack of a shop or a lot of the larder: `amount` of `unit` each."""

    bait: Bait
    amount: Fraction
    unit: str
    line: LineCame | None = None
    lot: LarderLot | None = None
    member: str | None = None

    @property
    def key(self) -> str:
        """What a tick calls it."""
        return f"pack-{self.line.line.pack_id}" if self.line else f"lot-{self.lot and self.lot.pk}"


@dataclass(frozen=True, slots=True)
class BagItem:
    """One thing of a bag. `whole` packs and `part` of opened ones, in the source's unit.

    `key` names it with its amount, so that a tick ends where the amount changes.
    """

    key: str
    source: SourceShown
    whole: int
    part: Fraction
    amount: Fraction
    unit: str
    use_by: dt.date | None
    tick: BagTick | None


@dataclass(frozen=True, slots=True)
class Bag:
    """What one member is handed; `lacking`: baits that could not be had, how much in their unit."""

    angler: Angler
    items: tuple[BagItem, ...]
    lacking: tuple[tuple[Bait, Fraction], ...]

    @property
    def ticked(self) -> int:
        return sum(item.tick is not None for item in self.items)

    @property
    def packed(self) -> bool:
        """Whether all of it is ticked."""
        return self.ticked == len(self.items)


@dataclass(frozen=True, slots=True)
class SplitShown:
    """One opened pack: who gets how much of it and what is left, in the source's unit."""

    source: SourceShown
    gives: tuple[tuple[Angler, Fraction], ...]
    left: Fraction


@dataclass(frozen=True, slots=True)
class LeftShown:
    """What goes to the larder: `whole` packs untouched, and `amount` in all of the bait's unit."""

    source: SourceShown
    whole: int
    amount: Fraction
    unit: str


@dataclass(frozen=True, slots=True)
class OrderBags:
    """All bags of an order, the packs that are opened, and what is left beyond the bags."""

    bags: tuple[Bag, ...]
    splits: tuple[SplitShown, ...]
    left_over: tuple[LeftShown, ...]

    @property
    def items(self) -> int:
        return sum(len(bag.items) for bag in self.bags)

    @property
    def ticked(self) -> int:
        return sum(bag.ticked for bag in self.bags)

    @property
    def packed(self) -> bool:
        return self.ticked == self.items


def bags_of(order: Order) -> OrderBags | None:
    """Everybody's bag from the placed version and what came of it; None while none is placed.

    Four queries, one more where of some bait nothing came, and those of `lots_taken`.
    """
    bill = order_bill(order)
    if bill is None:
        return None
    shown = {**_packs_shown(bill), **_lots_shown(lots_taken(order, bill=bill))}
    packed = bags_pack(_asked(bill), sources=_sources(shown, scales=bill.scales))
    baits = {source.bait.key: source.bait for source in shown.values()}
    baits |= _baits_found({lack.bait for lack in packed.lacking} - set(baits), order=order)
    ticks = {
        (tick.angler_id, tick.key): tick for tick in order.bag_ticks.select_related("ticked_by")
    }
    view = _View(order, bill=bill, shown=shown, baits=baits, ticks=ticks)
    return OrderBags(
        bags=view.bags(packed),
        splits=tuple(view.split(split) for split in packed.splits),
        left_over=tuple(view.left(left) for left in packed.left_over),
    )


def _asked(bill: OrderBill) -> dict[str, dict[str, Fraction]]:
    """What each member is to have of each bait, in its base unit: their plan with its spare."""
    asked: dict[str, dict[str, Fraction]] = {}
    for demand in bill.request.demands:
        mine = asked.setdefault(demand.member, {})
        mine[demand.bait] = mine.get(demand.bait, Fraction(0)) + bill.scales.in_base(demand)
    return asked


def _packs_shown(bill: OrderBill) -> dict[str, SourceShown]:
    return {
        f"pack-{came.line.pack_id}": SourceShown(
            came.line.pack.bait, Fraction(came.line.pack.amount), came.line.pack.unit, line=came
        )
        for came in bill.lines
        if came.packs
    }


def _lots_shown(taken: Iterable[LotTaken]) -> dict[str, SourceShown]:
    """One source for each lot and member; several takes of one add up."""
    shown: dict[str, SourceShown] = {}
    for one in taken:
        key = f"lot-{one.lot.pk}-{one.member}"
        before = shown[key].amount if key in shown else Fraction(0)
        shown[key] = SourceShown(
            one.lot.bait, before + one.amount, one.lot.unit, lot=one.lot, member=one.member
        )
    return shown


def _baits_found(keys: set[str], *, order: Order) -> dict[str, Bait]:
    """Baits of which nothing came at all, for their names."""
    if not keys:
        return {}
    found = Bait.objects.filter(club_id=order.team.club_id, key__in=keys)
    return {bait.key: bait for bait in found}


def _sources(shown: Mapping[str, SourceShown], *, scales: Scales) -> Iterable[Source]:
    for key, source in shown.items():
        if source.bait.key not in scales.base:
            continue
        base = scales.convert(source.amount, bait=source.bait.key, unit=source.unit)
        count = source.line.packs if source.line else 1
        yield Source(key, source.bait.key, base, count, source.member)


class _View:
    """What was packed, in the words of people: names, units, ticks."""

    def __init__(
        self,
        order: Order,
        *,
        bill: OrderBill,
        shown: Mapping[str, SourceShown],
        baits: Mapping[str, Bait],
        ticks: Mapping[tuple[int, str], BagTick],
    ) -> None:
        self.order, self.bill = order, bill
        self.shown, self.baits, self.ticks = shown, baits, ticks

    def bags(self, packed: Bags) -> tuple[Bag, ...]:
        pieces: dict[str, list[Piece]] = {}
        for piece in packed.pieces:
            pieces.setdefault(piece.member, []).append(piece)
        lacking: dict[str, list[Lacking]] = {}
        for lack in packed.lacking:
            lacking.setdefault(lack.member, []).append(lack)
        return tuple(
            Bag(
                angler,
                tuple(sorted((self._item(p) for p in pieces.get(member, [])), key=_packing)),
                tuple(self._lack(lack) for lack in lacking.get(member, [])),
            )
            for member, angler in self.bill.anglers.items()
        )

    def split(self, split: Split) -> SplitShown:
        source = self.shown[split.source]
        return SplitShown(
            source,
            tuple((self.bill.anglers[m], self._of_source(a, source)) for m, a in split.gives),
            self._of_source(split.left, source),
        )

    def left(self, left: LeftOver) -> LeftShown:
        source = self.shown[left.source]
        amount, unit = self._in_bait_unit(left.amount, source.bait)
        return LeftShown(source, left.whole, amount, unit)

    def _item(self, piece: Piece) -> BagItem:
        source = self.shown[piece.source]
        amount, unit = self._in_bait_unit(piece.amount, source.bait)
        key = f"{source.key}:{amount_text(amount)} {unit}"
        tick = self.ticks.get((int(piece.member), key))
        part = self._of_source(piece.part, source)
        use_by = _use_by(source, order=self.order)
        return BagItem(key, source, piece.whole, part, amount, unit, use_by, tick)

    def _lack(self, lack: Lacking) -> tuple[Bait, Fraction]:
        bait = self.baits[lack.bait]
        return bait, self._in_bait_unit(lack.amount, bait)[0]

    def _of_source(self, amount: Fraction, source: SourceShown) -> Fraction:
        return self.bill.scales.out_of_base(amount, bait=source.bait.key, unit=source.unit)

    def _in_bait_unit(self, amount: Fraction, bait: Bait) -> tuple[Fraction, str]:
        return own_amount(bait_facts(bait), amount, unit=self.bill.scales.base[bait.key])


def _packing(item: BagItem) -> tuple[int, str, str]:
    bait = item.source.bait
    return packing_place(bait.kind, dead=bait.dead), bait.name, item.key


def _use_by(source: SourceShown, *, order: Order) -> dt.date | None:
    """A lot's own day; fresh animal bait is counted on for some days after it came."""
    if source.lot is not None:
        return source.lot.use_by
    if order.received_at is None or source.bait.kind != BaitKind.ANIMAL:
        return None
    return use_by_default(FRESH, kind=source.bait.kind, since=order.received_at.date())
