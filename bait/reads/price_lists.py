"""A price list beside what the shop sells now: what its import would change."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction

from bait.models import Pack, Shop
from bait.reckon.price_rows import ListLine, PackPrices

from .shops import packs_of


@dataclass(frozen=True, slots=True)
class LineCompared:
    """A line of the list, and the pack it is of: None for one that is new."""

    line: ListLine
    pack: Pack | None
    before: PackPrices | None


@dataclass(frozen=True, slots=True)
class ListCompared:
    """What is new, costs something else, comes back, stays, and is in the list no longer."""

    new: tuple[LineCompared, ...]
    changed: tuple[LineCompared, ...]
    back: tuple[LineCompared, ...]
    same: tuple[LineCompared, ...]
    gone: tuple[Pack, ...]

    @property
    def changes(self) -> int:
        return len(self.new) + len(self.changed) + len(self.back)


def price_list_compare(shop: Shop, *, lines: Sequence[ListLine]) -> ListCompared:
    """Compare a list with the shop's packs: two queries.

    A pack is the same by bait, amount and unit. One that was retired comes back, the latest of
    several; one that is sold goes before it.
    """
    packs = packs_of(shop)
    known: dict[tuple[str, Fraction, str], Pack] = {}
    for pack in sorted(packs, key=lambda pack: (not pack.retired, pack.pk)):
        known[pack_identity(pack)] = pack
    sorts: dict[str, list[LineCompared]] = {"new": [], "changed": [], "back": [], "same": []}
    for line in lines:
        pack = known.get(line.pack)  # type: ignore[assignment]
        compared = LineCompared(line, pack, pack_prices(pack) if pack else None)
        sorts[_sort(compared)].append(compared)
    listed = {line.pack for line in lines}
    return ListCompared(
        **{name: tuple(found) for name, found in sorts.items()},
        gone=tuple(
            pack for pack in packs if not pack.retired and pack_identity(pack) not in listed
        ),
    )


def _sort(compared: LineCompared) -> str:
    if compared.pack is None:
        return "new"
    if compared.pack.retired:
        return "back"
    return "same" if compared.before == compared.line.prices else "changed"


def pack_identity(pack: Pack) -> tuple[str, Fraction, str]:
    """What makes it that pack and no other in its shop."""
    return (pack.bait.key, Fraction(pack.amount), pack.unit)


def pack_prices(pack: Pack) -> PackPrices:
    """What it costs now; expects its breaks to be prefetched in order."""
    return PackPrices(
        price=pack.price_pence,
        breaks=tuple((step.from_packs, step.price_pence) for step in pack.breaks.all()),
        max_packs=pack.max_packs,
    )
