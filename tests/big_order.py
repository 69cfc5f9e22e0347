"""A large team's plans and price lists: 20 members, 30 baits, 200 packs, 10 shops, by number."""

from __future__ import annotations

from decimal import Decimal

from django.db import transaction

from bait import models as b
from bait.writes.plan_content import plan_content_parse
from bait.writes.plans import plan_save
from matches import models as m
from tests.conftest import World, make_world

MEMBERS, BAITS, PACKS, SHOPS = 20, 30, 200, 10


@transaction.atomic
def big_order_make(
    *, members: int = MEMBERS, baits: int = BAITS, packs: int = PACKS, shops: int = SHOPS
) -> str:
    """Fill the database; returns the API address of the Alders' order. No chance in it."""
    world = make_world()
    _price_lists(world, baits=baits, packs=packs, shops=shops)
    for n in range(members):
        angler = m.Angler.objects.create(club=world.club, name=f"Angler {n:02d}")
        entry = m.Entry.objects.create(match=world.match, angler=angler, team=world.alders)
        feeds = [
            {
                "bait": f"b{k:02d}",
                "amount": f"{(7 * n + 3 * k) % 3}.{1 + (n + k) % 9}",
                "unit": "L",
            }
            for k in range(baits)
            if (n * 5 + k) % 3 == 0
        ]
        raw = {
            "version": 0,
            "spare_percent": 10,
            "stages": [
                {"kind": "feed", "end_minute": 300, "feeds": feeds[at : at + 10]}
                for at in range(0, len(feeds), 10)
            ],
        }
        plan_save(world.secretary, entry=entry, content=plan_content_parse(raw))
    return f"/api/v1/teams/{world.alders.pk}/matches/{world.match.pk}/order"


def _price_lists(world: World, *, baits: int, packs: int, shops: int) -> None:
    kept = [
        b.Bait.objects.create(
            club=world.club, key=f"b{k:02d}", name=f"Bait {k:02d}", kind="groundbait", unit="L"
        )
        for k in range(baits)
    ]
    sellers = [
        b.Shop.objects.create(
            club=world.club,
            key=f"s{s}",
            name=f"Shop {s}",
            delivery_fee_pence=300 + 50 * s,
            minimum_spend_pence=1000 * (s % 4),
            free_delivery_from_pence=8000 if s % 2 else None,
        )
        for s in range(shops)
    ]
    for n in range(packs):
        size = (1, 2, 5, 10)[(n // baits) % 4]
        each = 150 + 37 * (n % baits) % 90 + 53 * n % 120  # a shop is dear or cheap, bait by bait
        price = size * each * (100 - 4 * size) // 100
        pack = b.Pack.objects.create(
            shop=sellers[(n * 7 + n // baits) % shops],
            bait=kept[n % baits],
            key=f"p{n:03d}",
            amount=Decimal(size) + Decimal(n) / 10_000,
            unit="L",
            price_pence=price,
        )
        if n % 3 == 0:
            b.PackBreak.objects.create(pack=pack, from_packs=5, price_pence=price * 9 // 10)
