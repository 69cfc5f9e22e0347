"""The usual baits, and an invented price list to try an order with.

What one litre weighs is from memory, loosely filled; every price is made up.
"""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction
from typing import Final

from .price_rows import ListLine, PackPrices

#: The key of the invented shop in its club, by which pages know it, and its terms in pence.
EXAMPLE_KEY: Final = "example-prices"
EXAMPLE_DELIVERY: Final = 450
EXAMPLE_MINIMUM: Final = 1_500
EXAMPLE_FREE_FROM: Final = 6_000


@dataclass(frozen=True, slots=True)
class UsualBait:
    """`kind`, `unit`, `family` are words of the models; `density` is kilograms in a litre; `bag`
    what people call one bag, in the unit."""

    key: str
    kind: str
    unit: str
    density: Decimal | None = None
    bag: Decimal | None = None
    family: str = ""
    dead: bool = False


USUAL_BAITS: Final = (
    UsualBait("caster", "animal", "pint"),
    UsualBait("red-maggot", "animal", "pint"),
    UsualBait("white-maggot", "animal", "pint"),
    UsualBait("pinkie", "animal", "pint"),
    UsualBait("dead-maggot", "animal", "pint", dead=True),
    UsualBait("worm", "animal", "L", family="worm"),
    UsualBait("hemp", "particle", "pint"),
    UsualBait("sweetcorn", "particle", "pint"),
    UsualBait("river-groundbait", "groundbait", "L", Decimal("0.5"), Decimal(2)),
    UsualBait("dark-crumb", "groundbait", "L", Decimal("0.45"), Decimal(2)),
    UsualBait("soil", "soil", "L"),
)

_PRICES: Final = (
    ("caster", "1", "pint", 420, ((10, 390),)),
    ("red-maggot", "1", "pint", 340, ((8, 315),)),
    ("white-maggot", "1", "pint", 330, ((8, 305),)),
    ("pinkie", "1", "pint", 360, ()),
    ("dead-maggot", "1", "pint", 300, ()),
    ("worm", "1/4", "L", 350, ()),
    ("hemp", "1", "pint", 150, ()),
    ("hemp", "5", "pint", 690, ()),
    ("sweetcorn", "1", "pint", 130, ()),
    ("river-groundbait", "1", "kg", 520, ((6, 475),)),
    ("dark-crumb", "1", "kg", 380, ()),
    ("soil", "5", "L", 600, ()),
)


def example_lines() -> tuple[ListLine, ...]:
    """The invented list; its baits are keys of `USUAL_BAITS`."""
    return tuple(
        ListLine(row, bait, Fraction(amount), unit, PackPrices(price, breaks))
        for row, (bait, amount, unit, price, breaks) in enumerate(_PRICES, 1)
    )
