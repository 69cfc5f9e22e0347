"""A ready start for a captain: the usual baits, and an invented shop that goes with one press."""

from __future__ import annotations

import datetime as dt
from dataclasses import replace

from django.db import transaction
from django.utils.translation import gettext as _

from bait.models import Bait, Shop
from bait.reads.shop_named import orders_naming_shop
from bait.reads.shops import keeper_check
from bait.reckon.starters import (
    EXAMPLE_DELIVERY,
    EXAMPLE_FREE_FROM,
    EXAMPLE_KEY,
    EXAMPLE_MINIMUM,
    USUAL_BAITS,
    example_lines,
)
from matches.models import Club, Person
from matches.problems import Code, Problem
from matches.writes.audit import audit_record

from .price_lists import price_list_import
from .shops import club_locked, key_free, shop_delete, shop_retire


def usual_names() -> dict[str, str]:
    """What the usual baits are called, by key."""
    return {
        "caster": _("Caster"),
        "red-maggot": _("Red maggot"),
        "white-maggot": _("White maggot"),
        "pinkie": _("Pinkie"),
        "dead-maggot": _("Dead maggot"),
        "worm": _("Worm"),
        "hemp": _("Hemp"),
        "sweetcorn": _("Sweetcorn"),
        "river-groundbait": _("River groundbait"),
        "dark-crumb": _("Dark crumb"),
        "soil": _("River soil"),
    }


def baits_usual_add(person: Person, *, club: Club) -> list[Bait]:
    """Add the usual baits the club has none of by name; twice is once. Raises Problem
    NOT_ALLOWED."""
    keeper_check(person, club_id=club.pk)
    with transaction.atomic():
        kept = list(Bait.objects.filter(club=club_locked(club)))
        taken, called = {bait.key for bait in kept}, {bait.name.casefold() for bait in kept}
        names, made = usual_names(), []
        for one in USUAL_BAITS:
            name = names[one.key]
            if name.casefold() in called:
                continue
            key = key_free(one.key, taken=taken, otherwise="bait")
            taken.add(key)
            made.append(
                Bait(
                    club=club,
                    key=key,
                    name=name,
                    kind=one.kind,
                    unit=one.unit,
                    bulk_density_kg_per_l=one.density,
                    bag_amount=one.bag,
                    family=one.family,
                    dead=one.dead,
                )
            )
        Bait.objects.bulk_create(made)
        if made:
            audit_record(
                club=club,
                person=person,
                verb="bait.usual_added",
                subject=club,
                detail={"keys": [bait.key for bait in made]},
            )
    return made


def shop_example_add(person: Person, *, club: Club) -> Shop:
    """The invented shop with its list, and the usual baits with it; twice is once, and what was
    retired comes back. Raises Problem: NOT_ALLOWED, CONFLICT where the club's own baits of these
    names are counted otherwise."""
    keeper_check(person, club_id=club.pk)
    with transaction.atomic():
        baits_usual_add(person, club=club)
        keys = _keys_by_usual(club)
        shop, made = Shop.objects.get_or_create(
            club=club,
            key=EXAMPLE_KEY,
            defaults={
                "name": _("Example shop (invented prices)"),
                "delivery_fee_pence": EXAMPLE_DELIVERY,
                "minimum_spend_pence": EXAMPLE_MINIMUM,
                "free_delivery_from_pence": EXAMPLE_FREE_FROM,
                "lead_days": 1,
                "cut_off": dt.time(17),
            },
        )
        lines = [replace(line, bait=keys[line.bait]) for line in example_lines()]
        if made or shop.retired:
            Shop.objects.filter(pk=shop.pk).update(retired=False)
            price_list_import(person, shop=shop, lines=lines)
            audit_record(
                club=club,
                person=person,
                verb="shop.example_added",
                subject=f"shop {shop.key}",
                detail={},
            )
    return shop


def shop_example_remove(person: Person, *, club: Club) -> None:
    """The invented shop goes, with its list; where an order names it, it is only bought from no
    more. None there: nothing happens. Raises Problem NOT_ALLOWED."""
    keeper_check(person, club_id=club.pk)
    with transaction.atomic():
        shop = Shop.objects.filter(club=club_locked(club), key=EXAMPLE_KEY).first()
        if shop is None:
            return
        if orders_naming_shop(shop):
            shop_retire(person, shop=shop)
        else:
            shop_delete(person, shop=shop)


def _keys_by_usual(club: Club) -> dict[str, str]:
    """The club's key of each usual bait, found by its name. Raises Problem CONFLICT."""
    names = usual_names()
    kept = {bait.name.casefold(): bait for bait in Bait.objects.filter(club=club)}
    keys = {}
    for one in USUAL_BAITS:
        bait = kept[names[one.key].casefold()]
        if bait.unit != one.unit or (one.density and not bait.bulk_density_kg_per_l):
            raise Problem(
                Code.CONFLICT,
                _("%(bait)s is counted otherwise in your list, so the example does not fit it.")
                % {"bait": bait.name},
            )
        keys[one.key] = bait.key
    return keys
