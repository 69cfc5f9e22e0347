"""A club's baits as reckoning takes them."""

from __future__ import annotations

from fractions import Fraction

from bait.models import Bait
from bait.reckon.plans import BaitFacts
from bait.reckon.units import amount_convert


def bait_facts(bait: Bait) -> BaitFacts:
    """A bait as plans are reckoned with it."""
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


def own_amount(facts: BaitFacts, amount: Fraction, *, unit: str) -> tuple[Fraction, str]:
    """An amount in the unit the bait is planned, bought and kept in; as it is where the two do not
    mix any more, because the bait was changed since."""
    found = amount_convert(amount, unit=unit, to=facts.unit, density=facts.density)
    return (amount, unit) if found is None else (found, facts.unit)


def baits_of_club(club_id: int) -> dict[str, Bait]:
    """Every bait the club keeps, by key, in the order of their names. One query."""
    return {bait.key: bait for bait in Bait.objects.filter(club_id=club_id).order_by("name", "key")}
