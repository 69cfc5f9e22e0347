"""The baits and price lists of a person's clubs."""

from __future__ import annotations

from django.db.models import Prefetch, QuerySet

from bait.models import Bait, Pack, PackBreak, Shop
from matches.models import Person
from matches.reads.access import clubs_of


def baits_seen(person: Person) -> QuerySet[Bait]:
    return (
        Bait.objects.filter(club__in=clubs_of(person))
        .select_related("club")
        .order_by("club__name", "name", "key")
    )


def shops_seen(person: Person) -> QuerySet[Shop]:
    """Shops still bought from, with their packs and price breaks: three queries."""
    packs = (
        Pack.objects.filter(retired=False)
        .select_related("bait")
        .prefetch_related(Prefetch("breaks", queryset=PackBreak.objects.order_by("from_packs")))
        .order_by("bait__name", "amount", "key")
    )
    return (
        Shop.objects.filter(club__in=clubs_of(person), retired=False)
        .select_related("club")
        .prefetch_related(Prefetch("packs", queryset=packs))
        .order_by("club__name", "name", "key")
    )
