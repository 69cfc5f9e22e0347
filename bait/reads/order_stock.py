"""What the larder has for an order: lot by lot, and as the calculator is told of it."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction

from django.db.models import Q
from django.utils.translation import gettext as _

from bait.models import Bait, LarderLot, Order, OrderVersion
from bait.reckon.larder import AtMost, Lot, Need, Taken, lot_serves, lots_take
from bait.reckon.plans import MIX
from bait.reckon.units import amount_convert
from matches.reckon.decimals import decimal_text, rounded_down
from matches.reckon.errors import BadInput, Fault, pointer

from .baits import bait_facts

#: An order placed for a match so many days before this one, and not bagged since, is forgotten.
PROMISED_DAYS = 14


@dataclass(frozen=True, slots=True)
class StockUsed:
    """`rows` for the calculator, and the lots they are: who is given how much of which.

    Of a placed order the lots are no more than it was placed with: its packs are bought, and what
    came into the larder since is kept for another day.
    """

    rows: list[dict[str, str | None]]
    takes: tuple[Taken, ...]


@dataclass(frozen=True, slots=True)
class Larder:
    """The lots for an order, and by day what the team's other orders were placed with and have
    not been handed yet."""

    lots: tuple[Lot, ...]
    promised: tuple[tuple[dt.date, list[dict[str, str]]], ...]


def order_larder(order: Order, *, baits: Iterable[Bait], members: Iterable[str]) -> Larder:
    """The lots of these baits, the team's and those of members with a plan. Two queries."""
    lots = (
        LarderLot.objects.filter(team_id=order.team_id, amount__gt=0)
        .filter(bait__in=[bait.pk for bait in baits])
        .filter(Q(angler__isnull=True) | Q(angler_id__in=[int(key) for key in members]))
        .select_related("bait")
        .order_by("pk")
    )
    promised = (
        Order.objects.filter(team_id=order.team_id, placed__isnull=False, bagged_at__isnull=True)
        .filter(match__date__gte=order.match.date - dt.timedelta(days=PROMISED_DAYS))
        .exclude(pk=order.pk)
        .order_by("match__date", "pk")
        .values_list("match__date", "placed__inputs__stock")
    )
    return Larder(
        lots=tuple(lot_facts(lot) for lot in lots),
        promised=tuple((day, rows or []) for day, rows in promised),
    )


def order_stock(
    order: Order,
    *,
    larder: Larder,
    needs: Sequence[Need],
    baits: Mapping[str, Bait],
    names: Mapping[str, str],
) -> StockUsed:
    """What of the needs the larder covers: nothing past its day, nothing for a use it is not good
    for, and nothing that another order of the team was placed with.

    One row a bait and member, in the bait's unit, of what is used and no more: so the calculator's
    request changes only where the answer could. Sorted here, as databases differ in where they
    put what has no member. Raises BadInput, naming the bait (and the member from `names`), where
    a lot's unit no longer fits its bait.
    """
    lots = _unpromised(larder, baits=baits)
    view = _View(lots, on=order.match.date, baits=baits, names=names)
    takes = view.taken(needs)
    own = {lot.id: lot.member for lot in lots}
    sums: dict[tuple[str, str | None], Fraction] = {}
    for take in takes:
        key = (take.bait, own[take.lot])
        sums[key] = sums.get(key, Fraction(0)) + take.covers
    rows: list[dict[str, str | None]] = [
        {"bait": bait, "amount": decimal_text(amount), "unit": baits[bait].unit, "member": member}
        for (bait, member), total in sums.items()
        if (amount := rounded_down(total))
    ]
    rows.sort(key=lambda row: [row[key] or "" for key in ("bait", "member")])
    if order.placed is None:
        return StockUsed(rows, takes)
    return StockUsed(rows, view.taken(needs, at_most=_placed_with(order.placed, baits=baits)))


def _placed_with(version: OrderVersion, *, baits: Mapping[str, Bait]) -> AtMost:
    """What the placed version counted on, in each bait's unit of today."""
    at_most: dict[tuple[str, str | None], Fraction] = {}
    for row in version.inputs["stock"]:
        if row["bait"] not in baits:
            continue
        facts = bait_facts(baits[row["bait"]])
        amount = amount_convert(
            Fraction(row["amount"]), unit=row["unit"], to=facts.unit, density=facts.density
        )
        at_most[row["bait"], row["member"]] = amount or Fraction(0)
    return at_most


def lot_facts(lot: LarderLot) -> Lot:
    """A lot as reckoning takes it; expects its bait to be fetched."""
    density = lot.bait.bulk_density_kg_per_l
    return Lot(
        id=lot.pk,
        bait=lot.bait.key,
        member=None if lot.angler_id is None else str(lot.angler_id),
        amount=Fraction(lot.amount),
        unit=lot.unit,
        bait_unit=lot.bait.unit,
        serves=lot_serves(lot.state, kind=lot.bait.kind, dead=lot.bait.dead),
        density=None if density is None else Fraction(density),
        bought_on=lot.bought_on,
        use_by=lot.use_by,
    )


def _unpromised(larder: Larder, *, baits: Mapping[str, Bait]) -> list[Lot]:
    """The lots of these baits less what is promised.

    Which lots those are is not kept until they are handed out: the oldest are held back.
    """
    lots = [lot for lot in larder.lots if lot.bait in baits]
    for day, rows in larder.promised:
        needs = [
            Need(row["member"] or "", row["bait"], MIX, Fraction(row["amount"]))
            for row in rows
            if row["bait"] in baits and row["unit"] == baits[row["bait"]].unit
        ]
        lots = _less(lots, takes=lots_take(needs, lots=lots, on=day))
    return lots


def _less(lots: Sequence[Lot], *, takes: Sequence[Taken]) -> list[Lot]:
    gone: dict[int, Fraction] = {}
    for take in takes:
        gone[take.lot] = gone.get(take.lot, Fraction(0)) + take.amount
    return [replace(lot, amount=lot.amount - gone.get(lot.id, Fraction(0))) for lot in lots]


@dataclass(frozen=True, slots=True)
class _View:
    """The lots of one order, with the words for what is wrong with one."""

    lots: Sequence[Lot]
    on: dt.date
    baits: Mapping[str, Bait]
    names: Mapping[str, str]

    def taken(self, needs: Sequence[Need], *, at_most: AtMost | None = None) -> tuple[Taken, ...]:
        try:
            return lots_take(needs, lots=self.lots, on=self.on, at_most=at_most)
        except BadInput as bad:
            raise BadInput(*[self._named(fault) for fault in bad.faults]) from bad

    def _named(self, fault: Fault) -> Fault:
        """The fault with whose lot it is, in a captain's words."""
        lot = self.lots[int(fault.pointer.split("/")[2])]
        whose = self.names.get(lot.member or "")
        words = _(
            "%(what)s: “%(unit)s” in the larder does not fit. Take the lot out and bring it in "
            "again in the bait’s unit."
        )
        what = ", ".join(part for part in (whose, self.baits[lot.bait].name) if part)
        return Fault(pointer("larder", lot.id, "unit"), words % {"what": what, "unit": lot.unit})
