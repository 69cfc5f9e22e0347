"""One pack of a shop's price list: added, priced anew, retired and brought back, deleted.

What makes a pack that pack (bait, amount, unit) never changes: orders name it. Another size is
another pack.
"""

from __future__ import annotations

from collections.abc import Collection
from decimal import Decimal
from typing import Any

from django.db import transaction
from django.db.models import ProtectedError, RestrictedError
from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from bait.models import Bait, Pack, PackBreak, Shop
from bait.reads.price_lists import pack_prices
from bait.reads.shop_named import orders_naming_pack
from bait.reads.shops import keeper_check, packs_listed
from bait.reckon.price_rows import ListLine, PackPrices
from matches.models import Person
from matches.problems import Code, Problem
from matches.reckon.errors import BadInput, Fault
from matches.reckon.money import pence_format
from matches.writes.audit import audit_record

KEY_LONGEST = 60


def pack_add(person: Person, *, shop: Shop, line: ListLine) -> Pack:
    """A new pack, or a retired one of the same bait and size brought back at the new price.

    Raises Problem NOT_ALLOWED, BadInput for a pack that the shop sells already.
    """
    keeper_check(person, club_id=shop.club_id)
    with transaction.atomic():
        shop_locked(shop)
        same = packs_listed().filter(
            shop=shop, bait__key=line.bait, amount=Decimal(line.amount_text), unit=line.unit
        )
        if same.filter(retired=False).exists():
            raise BadInput(
                Fault("/amount", _("The shop’s list has this pack: change its price there."))
            )
        pack = same.order_by("-pk").first()
        if pack is None:
            bait = Bait.objects.get(club_id=shop.club_id, key=line.bait)
            pack = pack_new(shop, bait=bait, line=line, taken=keys_taken(shop))
            pack.save()
        _prices_put(pack, line.prices)
        Pack.objects.filter(pk=pack.pk).update(retired=False)
        _audit(person, pack, "pack.added", **prices_told(line.prices))
    return pack


def pack_prices_change(person: Person, *, pack: Pack, prices: PackPrices) -> bool:
    """What it costs from now on; orders worked out before keep their prices.

    Whether anything changed.
    """
    keeper_check(person, club_id=pack.shop.club_id)
    with transaction.atomic():
        shop_locked(pack.shop)
        kept = packs_listed().get(pk=pack.pk)
        before = pack_prices(kept)
        if before == prices:
            return False
        _prices_put(kept, prices)
        told = {"before": prices_told(before), "now": prices_told(prices)}
        _audit(person, kept, "pack.changed", **told)
    return True


def pack_retire(person: Person, *, pack: Pack) -> None:
    """Not bought again; twice is once. Orders that name it stay readable."""
    keeper_check(person, club_id=pack.shop.club_id)
    with transaction.atomic():
        if Pack.objects.filter(pk=pack.pk, retired=False).update(retired=True):
            _audit(person, pack, "pack.retired")


def pack_bring_back(person: Person, *, pack: Pack) -> None:
    """Bought again at the price it had. Raises Problem CONFLICT while another is in its place."""
    keeper_check(person, club_id=pack.shop.club_id)
    with transaction.atomic():
        shop_locked(pack.shop)
        twin = Pack.objects.filter(
            shop=pack.shop, bait=pack.bait, amount=pack.amount, unit=pack.unit, retired=False
        ).exclude(pk=pack.pk)
        if twin.exists():
            raise Problem(
                Code.CONFLICT, _("The list has another pack of this size: change its price.")
            )
        if Pack.objects.filter(pk=pack.pk, retired=True).update(retired=False):
            _audit(person, pack, "pack.back")


def pack_delete(person: Person, *, pack: Pack) -> None:
    """A pack that no order ever named. Raises Problem CONFLICT for any other."""
    keeper_check(person, club_id=pack.shop.club_id)
    with transaction.atomic():
        shop_locked(pack.shop)
        orders = orders_naming_pack(pack)
        if orders:
            raise _named(orders)
        try:
            Pack.objects.filter(pk=pack.pk).delete()
        except (ProtectedError, RestrictedError) as error:
            raise _named(1) from error
        _audit(person, pack, "pack.deleted")


def _named(orders: int) -> Problem:
    return Problem(
        Code.CONFLICT,
        ngettext(
            "%(n)d order names this pack, so it cannot be deleted. Retire it instead: it is not "
            "bought again, and the order stays readable.",
            "%(n)d orders name this pack, so it cannot be deleted. Retire it instead: it is not "
            "bought again, and the orders stay readable.",
            orders,
        )
        % {"n": orders},
    )


def shop_locked(shop: Shop) -> None:
    """Hold the shop's row to the end of the transaction: one change of its list at a time.

    Raises Problem NOT_FOUND when it is gone.
    """
    if Shop.objects.select_for_update().filter(pk=shop.pk).first() is None:
        raise Problem(Code.NOT_FOUND, _("Somebody deleted the shop meanwhile."))


def keys_taken(shop: Shop) -> set[str]:
    """The keys of all packs of the shop, retired ones too."""
    return set(Pack.objects.filter(shop=shop).values_list("key", flat=True))


def pack_new(shop: Shop, *, bait: Bait, line: ListLine, taken: Collection[str]) -> Pack:
    """The row of a new pack, not saved yet, without its breaks; its key is not in `taken`."""
    stem = f"{line.bait}-{line.amount_text.replace('.', '-')}-{line.unit.lower()}"
    stem = stem[: KEY_LONGEST - 5]
    tries = (f"{stem}-{n}" if n > 1 else stem for n in range(1, len(taken) + 2))
    return Pack(
        shop=shop,
        bait=bait,
        key=next(key for key in tries if key not in taken),
        amount=Decimal(line.amount_text),
        unit=line.unit,
        price_pence=line.prices.price,
        max_packs=line.prices.max_packs,
    )


def breaks_new(pack: Pack, prices: PackPrices) -> list[PackBreak]:
    """The rows of the pack's price breaks, not saved yet; pence."""
    return [
        PackBreak(pack=pack, from_packs=from_packs, price_pence=pence)
        for from_packs, pence in prices.breaks
    ]


def _prices_put(pack: Pack, prices: PackPrices) -> None:
    Pack.objects.filter(pk=pack.pk).update(price_pence=prices.price, max_packs=prices.max_packs)
    PackBreak.objects.filter(pack=pack).delete()
    PackBreak.objects.bulk_create(breaks_new(pack, prices))


def prices_told(prices: PackPrices) -> dict[str, Any]:
    """Prices as the trail keeps them."""
    return {
        "price": pence_format(prices.price),
        "breaks": [[n, pence_format(pence)] for n, pence in prices.breaks],
        "max_packs": prices.max_packs,
    }


def _audit(person: Person, pack: Pack, verb: str, **detail: Any) -> None:
    audit_record(
        club=pack.shop.club,
        person=person,
        verb=verb,
        subject=f"pack {pack.shop.key}/{pack.key}",
        detail=detail,
    )
