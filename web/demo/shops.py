"""What the invented shops sell, and what the team has in its larder. Every price is made up."""

from __future__ import annotations

import datetime as dt
import uuid
from collections.abc import Sequence
from decimal import Decimal

from bait.models import Bait, BaitFamily, BaitKind, LotState, Pack, PackBreak, Shop
from bait.writes.larder import lot_bring
from matches.models import Angler, Club, Person, Team

# Key, name, kind, the unit people think in, kilograms in a litre (from memory, loosely filled),
# what people call one bag, its sort where rules limit that apart, whether it is killed.
BAITS = (
    ("caster", "Caster", BaitKind.ANIMAL, "pint", None, None, BaitFamily.NONE, False),
    ("maggot", "Red maggot", BaitKind.ANIMAL, "pint", None, None, BaitFamily.NONE, False),
    ("pinkie", "Pinkie", BaitKind.ANIMAL, "pint", None, None, BaitFamily.NONE, False),
    ("dead-maggot", "Dead maggot", BaitKind.ANIMAL, "pint", None, None, BaitFamily.NONE, True),
    ("worm", "Worm", BaitKind.ANIMAL, "L", None, None, BaitFamily.WORM, False),
    ("hemp", "Hemp", BaitKind.PARTICLE, "pint", None, None, BaitFamily.NONE, False),
    ("river-mix", "River mix", BaitKind.GROUNDBAIT, "L", "0.5", "2", BaitFamily.NONE, False),
    ("dark-crumb", "Dark crumb", BaitKind.GROUNDBAIT, "L", "0.45", "2", BaitFamily.NONE, False),
    ("soil", "River soil", BaitKind.SOIL, "L", None, None, BaitFamily.NONE, False),
)
Terms = tuple[str, str, int, int, int | None, int]
# Key, name, delivery, minimum spend and free delivery from (pence), days needed.
SHOPS: tuple[Terms, ...] = (
    ("hut", "Hobday's Hut", 400, 2000, 6000, 1),
    ("riddle", "Reel & Riddle", 550, 1500, 12000, 2),
)
Line = tuple[str, str, str, str, int, tuple[tuple[int, int], ...], int | None]
# Shop, bait, amount, unit, pence, price breaks (from packs, pence), most packs.
PACKS: tuple[Line, ...] = (
    ("hut", "caster", "1", "pint", 420, ((10, 380),), None),
    ("hut", "maggot", "1", "pint", 340, ((8, 310),), None),
    ("hut", "pinkie", "1", "pint", 360, (), None),
    ("hut", "hemp", "1", "pint", 150, ((12, 125),), None),
    ("hut", "hemp", "5", "pint", 690, (), None),
    ("hut", "river-mix", "1", "kg", 520, ((6, 475),), None),
    ("hut", "dark-crumb", "1", "kg", 380, (), None),
    ("hut", "dead-maggot", "1", "pint", 300, (), None),
    ("hut", "worm", "0.25", "L", 350, (), None),
    ("hut", "soil", "5", "L", 600, (), None),
    ("riddle", "caster", "1", "pint", 405, (), None),
    ("riddle", "caster", "4", "pint", 1530, (), 2),
    ("riddle", "maggot", "1", "pint", 335, ((5, 320),), None),
    ("riddle", "pinkie", "0.5", "pint", 165, (), None),
    ("riddle", "hemp", "2", "L", 480, (), None),
    ("riddle", "river-mix", "2", "kg", 920, ((5, 860), (10, 800)), None),
    ("riddle", "dark-crumb", "2", "kg", 700, ((4, 660),), None),
    ("riddle", "dead-maggot", "1", "pint", 285, (), 6),
    ("riddle", "worm", "0.5", "L", 640, (), None),
    ("riddle", "soil", "10", "L", 990, (), None),
)


def shops_make(club: Club) -> None:
    """The baits of the club, and two shops with their price lists."""
    baits = {
        key: Bait.objects.create(
            club=club,
            key=key,
            name=name,
            kind=kind,
            unit=unit,
            bulk_density_kg_per_l=density and Decimal(density),
            bag_amount=bag and Decimal(bag),
            family=family,
            dead=dead,
        )
        for key, name, kind, unit, density, bag, family, dead in BAITS
    }
    shops = {
        key: Shop.objects.create(
            club=club,
            key=key,
            name=name,
            delivery_fee_pence=fee,
            minimum_spend_pence=least,
            free_delivery_from_pence=free,
            lead_days=days,
        )
        for key, name, fee, least, free, days in SHOPS
    }
    for shop, bait, amount, unit, pence, breaks, most in PACKS:
        pack = Pack.objects.create(
            shop=shops[shop],
            bait=baits[bait],
            key=f"{bait}-{amount.replace('.', '-')}-{unit.lower()}",
            amount=Decimal(amount),
            unit=unit,
            price_pence=pence,
            max_packs=most,
        )
        for from_packs, price in breaks:
            PackBreak.objects.create(pack=pack, from_packs=from_packs, price_pence=price)


Lot = tuple[str, str, str, LotState, str | None, dt.date | None]


def larder_before(club: Club, *, finished: dt.date) -> None:
    """What the Alders had before the match that is over: its bags took it."""
    lots: tuple[Lot, ...] = (
        ("hemp", "1.5", "pint", LotState.FROZEN, None, None),
        ("soil", "6", "L", LotState.DRY, None, None),
    )
    _bring(club, lots=lots, on=finished - dt.timedelta(days=21))


def larder_fill(club: Club, *, saturday: dt.date) -> None:
    """What the Alders have left: the casters will be past their day, so no order counts on them,
    and frozen maggots are for the mix, never for the hook."""
    week = dt.timedelta(days=7)
    lots: tuple[Lot, ...] = (
        ("hemp", "2", "pint", LotState.FROZEN, None, saturday + 8 * week),
        ("dead-maggot", "1", "pint", LotState.FROZEN, None, saturday + 8 * week),
        ("river-mix", "3", "L", LotState.DRY, None, None),
        ("caster", "1", "pint", LotState.FRESH, None, saturday - week),
        ("pinkie", "0.5", "pint", LotState.FRESH, "Wilmot Crane", saturday + week),
    )
    _bring(club, lots=lots, on=saturday - 2 * week)


def _bring(club: Club, *, lots: Sequence[Lot], on: dt.date) -> None:
    """Put the lots into the Alders' larder, with Maud as who brought them."""
    maud = Person.objects.get(username="maud")
    alders = Team.objects.get(club=club, name="Otterbeck Alders")
    baits = {bait.key: bait for bait in Bait.objects.filter(club=club)}
    for bait, amount, unit, state, owner, use_by in lots:
        lot_bring(
            maud,
            team=alders,
            angler=Angler.objects.get(club=club, name=owner) if owner else None,
            bait=baits[bait],
            amount=Decimal(amount),
            unit=unit,
            state=state,
            on=on,
            use_by=use_by,
            key=uuid.uuid4(),
        )
