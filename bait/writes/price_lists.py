"""A shop's whole price list at once: all of it or nothing, and twice is once."""

from __future__ import annotations

from collections.abc import Collection, Sequence
from dataclasses import dataclass
from typing import Any

from django.db import transaction

from bait.models import Bait, Pack, PackBreak, Shop
from bait.reads.price_lists import LineCompared, ListCompared, price_list_compare
from bait.reads.shops import keeper_check
from bait.reckon.price_rows import ListLine
from matches.models import Person
from matches.writes.audit import TOLD_MOST, audit_record

from .packs import breaks_new, keys_taken, pack_new, prices_told, shop_locked


@dataclass(frozen=True, slots=True)
class ListImported:
    """How many packs were added, priced anew, brought back and retired."""

    new: int
    changed: int
    back: int
    retired: int

    @property
    def anything(self) -> bool:
        return bool(self.new or self.changed or self.back or self.retired)


def price_list_import(
    person: Person, *, shop: Shop, lines: Sequence[ListLine], retire: Collection[int] = ()
) -> ListImported:
    """Make the shop's packs what the list says; `retire` are packs of its own that the list no
    longer has. Any other stays as it is, and packs that the list has are never retired.

    Raises Problem NOT_ALLOWED.
    """
    keeper_check(person, club_id=shop.club_id)
    with transaction.atomic():
        shop_locked(shop)
        compared = price_list_compare(shop, lines=lines)
        gone = [pack for pack in compared.gone if pack.pk in retire]
        _new_put(shop, compared.new)
        _prices_put((*compared.changed, *compared.back))
        Pack.objects.filter(pk__in=[pack.pk for pack in gone]).update(retired=True)
        done = ListImported(
            new=len(compared.new),
            changed=len(compared.changed),
            back=len(compared.back),
            retired=len(gone),
        )
        if done.anything:
            _audit(person, shop, compared=compared, gone=gone)
    return done


def _new_put(shop: Shop, compared: Sequence[LineCompared]) -> None:
    baits = {bait.key: bait for bait in Bait.objects.filter(club_id=shop.club_id)}
    taken = keys_taken(shop)
    packs = []
    for row in compared:
        pack = pack_new(shop, bait=baits[row.line.bait], line=row.line, taken=taken)
        taken.add(pack.key)
        packs.append(pack)
    made = Pack.objects.bulk_create(packs, batch_size=200)
    PackBreak.objects.bulk_create(
        (
            step
            for pack, row in zip(made, compared, strict=True)
            for step in breaks_new(pack, row.line.prices)
        ),
        batch_size=200,
    )


def _prices_put(compared: Sequence[LineCompared]) -> None:
    packs, breaks = [], []
    for row in compared:
        pack, prices = row.pack, row.line.prices
        if pack is None:
            continue
        pack.price_pence, pack.max_packs, pack.retired = prices.price, prices.max_packs, False
        packs.append(pack)
        breaks += breaks_new(pack, prices)
    Pack.objects.bulk_update(packs, ["price_pence", "max_packs", "retired"], batch_size=200)
    for at in range(0, len(packs), 200):
        PackBreak.objects.filter(pack__in=packs[at : at + 200]).delete()
    PackBreak.objects.bulk_create(breaks, batch_size=200)


def _audit(person: Person, shop: Shop, *, compared: ListCompared, gone: Sequence[Pack]) -> None:
    audit_record(
        club=shop.club,
        person=person,
        verb="price_list.imported",
        subject=f"shop {shop.key}",
        detail={
            "new": [_told(row) for row in compared.new[:TOLD_MOST]],
            "changed": [_told(row) for row in compared.changed[:TOLD_MOST]],
            "back": [_told(row) for row in compared.back[:TOLD_MOST]],
            "retired": [pack.key for pack in gone[:TOLD_MOST]],
        },
    )


def _told(row: LineCompared) -> dict[str, Any]:
    told: dict[str, Any] = {"pack": f"{row.line.bait} {row.line.amount_text} {row.line.unit}"}
    if row.before is not None:
        told["before"] = prices_told(row.before)
    return {**told, "now": prices_told(row.line.prices)}
