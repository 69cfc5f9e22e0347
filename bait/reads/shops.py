"""The baits and price lists of a person's clubs, and who may keep them."""

from __future__ import annotations

from collections.abc import Iterable

from django.db.models import Count, Prefetch, Q, QuerySet
from django.utils.translation import gettext as _

from bait.models import Bait, Pack, PackBreak, Shop
from bait.reckon.price_rows import ListedBait
from matches.models import Club, Person, Role
from matches.problems import Code, Problem
from matches.reads.access import DESK_ROLES, clubs_of, memberships_of
from matches.reckon.reading import is_storable


def baits_seen(person: Person) -> QuerySet[Bait]:
    """The baits of the person's clubs, by club and name."""
    return (
        Bait.objects.filter(club__in=clubs_of(person))
        .select_related("club")
        .order_by("club__name", "name", "key")
    )


def shops_seen(person: Person) -> QuerySet[Shop]:
    """Shops still bought from, with their packs and price breaks: three queries."""
    return (
        Shop.objects.filter(club__in=clubs_of(person), retired=False)
        .select_related("club")
        .prefetch_related(Prefetch("packs", queryset=packs_listed().filter(retired=False)))
        .order_by("club__name", "name", "key")
    )


def packs_listed() -> QuerySet[Pack]:
    """Packs with bait and breaks as a list shows them."""
    return (
        Pack.objects.select_related("bait")
        .prefetch_related(Prefetch("breaks", queryset=PackBreak.objects.order_by("from_packs")))
        .order_by("bait__name", "amount", "key")
    )


def clubs_kept(person: Person) -> QuerySet[Club]:
    """Clubs whose shops and baits the person keeps: as owner or secretary, or as captain of one
    of its own teams. A visiting team's captain orders from the lists but does not change them."""
    held = memberships_of(person).filter(
        Q(role__in=DESK_ROLES) | Q(role=Role.CAPTAIN, team__visitors=False)
    )
    return Club.objects.filter(pk__in=held.values("club_id"))


def club_kept(person: Person, *, slug: str) -> Club:
    """One of the person's clubs, to keep its shops. Raises Problem NOT_FOUND or NOT_ALLOWED."""
    club = clubs_of(person).filter(slug=slug).first() if is_storable(slug) else None
    if club is None:
        raise Problem(Code.NOT_FOUND, _("You are in no club of that address."))
    keeper_check(person, club_id=club.pk)
    return club


def keeper_check(person: Person, *, club_id: int) -> None:
    """Raises Problem NOT_ALLOWED for who does not keep the club's shops."""
    if not clubs_kept(person).filter(pk=club_id).exists():
        raise Problem(
            Code.NOT_ALLOWED,
            _("Only the club’s secretary and its captains keep shops and prices: ask one of them."),
        )


def shops_of(club: Club) -> list[Shop]:
    """Every shop, those retired last, each with `packs_now`, how many packs it sells."""
    return list(
        Shop.objects.filter(club=club)
        .annotate(packs_now=Count("packs", filter=Q(packs__retired=False)))
        .order_by("retired", "name", "key")
    )


def shop_of(club: Club, *, key: str) -> Shop:
    """One shop of the club. Raises Problem NOT_FOUND."""
    shop = Shop.objects.filter(club=club, key=key).first() if is_storable(key) else None
    if shop is None:
        raise Problem(Code.NOT_FOUND, _("The club has no such shop."))
    return shop


def packs_of(shop: Shop) -> list[Pack]:
    """All its packs with their breaks, retired ones too: two queries."""
    return list(packs_listed().filter(shop=shop).order_by("bait__name", "unit", "amount", "pk"))


def pack_of(shop: Shop, *, pack_id: int) -> Pack:
    """One pack of the shop. Raises Problem NOT_FOUND."""
    pack = packs_listed().select_related("shop").filter(shop=shop, pk=pack_id).first()
    if pack is None:
        raise Problem(Code.NOT_FOUND, _("The shop has no such pack."))
    return pack


def baits_of(club: Club) -> list[Bait]:
    """Every bait by name, each with `packs_now`, how many packs of it are sold."""
    return list(
        Bait.objects.filter(club=club)
        .annotate(
            packs_now=Count("packs", filter=Q(packs__retired=False, packs__shop__retired=False))
        )
        .order_by("name", "key")
    )


def bait_of(club: Club, *, key: str) -> Bait:
    """One bait of the club. Raises Problem NOT_FOUND."""
    bait = Bait.objects.filter(club=club, key=key).first() if is_storable(key) else None
    if bait is None:
        raise Problem(Code.NOT_FOUND, _("The club has no such bait."))
    return bait


def baits_listed(baits: Iterable[Bait]) -> tuple[ListedBait, ...]:
    """Baits as a price list names them."""
    return tuple(
        ListedBait(
            key=bait.key,
            name=bait.name,
            unit=bait.unit,
            has_density=bait.bulk_density_kg_per_l is not None,
        )
        for bait in baits
    )
