"""A club's shops: added, their terms changed, retired and brought back, deleted while unnamed."""

from __future__ import annotations

from collections.abc import Collection
from typing import Any

from django.db import transaction
from django.db.models import ProtectedError, RestrictedError
from django.utils.text import slugify
from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from bait.models import Shop
from bait.reads.shop_named import orders_naming_shop
from bait.reads.shops import keeper_check
from matches.models import Club, Person
from matches.problems import Code, Problem
from matches.reckon.errors import BadInput, Fault
from matches.writes.audit import audit_record

from .shop_content import ShopTerms

KEY_LONGEST = 40
TERMS = (
    "name",
    "delivery_fee_pence",
    "minimum_spend_pence",
    "free_delivery_from_pence",
    "lead_days",
    "cut_off",
)


def shop_add(person: Person, *, club: Club, terms: ShopTerms) -> Shop:
    """A new shop without packs. Raises Problem NOT_ALLOWED, BadInput for a name that is taken."""
    keeper_check(person, club_id=club.pk)
    with transaction.atomic():
        shops = list(Shop.objects.filter(club=club_locked(club)))
        _name_free(terms.name, shops=shops, own=None)
        key = key_free(terms.name, taken={shop.key for shop in shops}, otherwise="shop")
        shop = Shop.objects.create(club=club, key=key, **_values(terms))
        _audit(person, shop, "shop.added", **_texts(terms))
    return shop


def shop_change(person: Person, *, shop: Shop, terms: ShopTerms) -> bool:
    """Its terms from now on; orders worked out before keep the ones they were worked out with.

    Whether anything changed. Raises Problem NOT_ALLOWED, BadInput for a name that is taken.
    """
    keeper_check(person, club_id=shop.club_id)
    with transaction.atomic():
        shops = list(Shop.objects.filter(club=club_locked(shop.club)))
        _name_free(terms.name, shops=shops, own=shop.pk)
        kept = _shop_locked(shop)
        values = _values(terms)
        before = {name: getattr(kept, name) for name in TERMS}
        changed = {name for name in TERMS if before[name] != values[name]}
        if changed:
            Shop.objects.filter(pk=shop.pk).update(**values)
            _audit(
                person,
                kept,
                "shop.changed",
                **{name: [_plain(before[name]), _plain(values[name])] for name in changed},
            )
    return bool(changed)


def shop_retire(person: Person, *, shop: Shop) -> None:
    """Nothing more is bought there; twice is once. What was ordered stays readable."""
    _retired_set(person, shop, retired=True)


def shop_bring_back(person: Person, *, shop: Shop) -> None:
    """Bought from again, at the prices it had; twice is once."""
    _retired_set(person, shop, retired=False)


def _retired_set(person: Person, shop: Shop, *, retired: bool) -> None:
    keeper_check(person, club_id=shop.club_id)
    with transaction.atomic():
        if Shop.objects.filter(pk=shop.pk, retired=not retired).update(retired=retired):
            _audit(person, shop, "shop.retired" if retired else "shop.back")


def shop_delete(person: Person, *, shop: Shop) -> None:
    """A shop that no order ever named, with its packs. Raises Problem CONFLICT for any other."""
    keeper_check(person, club_id=shop.club_id)
    with transaction.atomic():
        kept = _shop_locked(shop)
        orders = orders_naming_shop(kept)
        if orders:
            raise _named(kept, orders=orders)
        try:
            kept.packs.all().delete()
            Shop.objects.filter(pk=kept.pk).delete()
        except (ProtectedError, RestrictedError) as error:
            raise _named(kept, orders=1) from error
        _audit(person, kept, "shop.deleted")


def _named(shop: Shop, *, orders: int) -> Problem:
    return Problem(
        Code.CONFLICT,
        ngettext(
            "%(n)d order names %(shop)s, so it cannot be deleted. Retire it instead: nothing more "
            "is bought there, and the order stays readable.",
            "%(n)d orders name %(shop)s, so it cannot be deleted. Retire it instead: nothing more "
            "is bought there, and the orders stay readable.",
            orders,
        )
        % {"n": orders, "shop": shop.name},
    )


def club_locked(club: Club) -> Club:
    """The club's row, held to the end of the transaction: two new names cannot be the same."""
    return Club.objects.select_for_update().get(pk=club.pk)


def key_free(name: str, *, taken: Collection[str], otherwise: str) -> str:
    """A short name for addresses, made from `name`, that is not taken."""
    stem = slugify(name)[: KEY_LONGEST - 4].strip("-_") or otherwise
    tries = (f"{stem}-{n}" if n > 1 else stem for n in range(1, len(taken) + 2))
    return next(key for key in tries if key not in taken)


def _name_free(name: str, *, shops: Collection[Shop], own: int | None) -> None:
    if any(s.name.casefold() == name.casefold() and s.pk != own for s in shops):
        raise BadInput(Fault("/name", _("A shop of the club is called that: use another name.")))


def _shop_locked(shop: Shop) -> Shop:
    """The shop's row, held to the end of the transaction. Raises Problem NOT_FOUND."""
    found = Shop.objects.select_for_update().filter(pk=shop.pk).first()
    if found is None:
        raise Problem(Code.NOT_FOUND, _("Somebody deleted the shop meanwhile."))
    return found


def _values(terms: ShopTerms) -> dict[str, Any]:
    return {name: getattr(terms, name) for name in TERMS}


def _texts(terms: ShopTerms) -> dict[str, Any]:
    return {name: _plain(value) for name, value in _values(terms).items()}


def _plain(value: Any) -> Any:
    """A value as JSON keeps it."""
    return value if value is None or isinstance(value, int | str) else str(value)


def _audit(person: Person, shop: Shop, verb: str, **detail: Any) -> None:
    audit_record(
        club=shop.club, person=person, verb=verb, subject=f"shop {shop.key}", detail=detail
    )
