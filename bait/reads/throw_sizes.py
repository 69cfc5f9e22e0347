"""An angler's measured throws, and what counts while they have not measured."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction

from bait.models import Throw, ThrowSize
from bait.reckon.plans import THROW_ML
from matches.models import Entry


@dataclass(frozen=True, slots=True)
class ThrowKnown:
    """What a throw of any bait counts as; `measured` or from memory."""

    name: str
    ml: Fraction
    measured: bool


def throw_sizes_of(entry: Entry) -> list[ThrowSize]:
    """What the entry's angler measured, by throw. One query. For who may write their plan."""
    return list(
        ThrowSize.objects.filter(angler=entry.angler_id)
        .select_related("bait")
        .order_by("throw", "bait__name", "pk")
    )


def throws_known(sizes: Sequence[ThrowSize]) -> list[ThrowKnown]:
    """Pinch, handful and pouch of any bait."""
    measured = {size.throw: Fraction(size.ml) for size in sizes if size.bait_id is None}
    return [
        ThrowKnown(
            name=str(throw.label),
            ml=measured.get(throw.value, THROW_ML[throw.value, None]),
            measured=throw.value in measured,
        )
        for throw in Throw
    ]
