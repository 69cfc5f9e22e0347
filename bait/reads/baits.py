"""A club's baits as reckoning takes them."""

from __future__ import annotations

from fractions import Fraction

from bait.models import Bait
from bait.reckon.plans import BaitFacts


def bait_facts(bait: Bait) -> BaitFacts:
    density = bait.bulk_density_kg_per_l
    return BaitFacts(
        key=bait.key,
        kind=bait.kind,
        unit=bait.unit,
        density=None if density is None else Fraction(density),
        bag=None if bait.bag_amount is None else Fraction(bait.bag_amount),
        family=bait.family,
        dead=bait.dead,
    )


def baits_of_club(club_id: int) -> dict[str, Bait]:
    """Every bait the club keeps, by key, in the order of their names. One query."""
    return {bait.key: bait for bait in Bait.objects.filter(club_id=club_id).order_by("name", "key")}
