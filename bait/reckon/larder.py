"""Which bait in hand serves which need, the oldest first; and how long bait keeps.

Amounts are exact. What is taken of a lot is a whole number of ten-thousandths of the lot's unit,
as the ledger keeps it.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction
from typing import Final

from matches.reckon.decimals import PARTS_OF_ONE, rounded_up
from matches.reckon.errors import BadInput, Fault, pointer
from matches.reckon.money import largest_remainder

from .plans import FEED, HOOK, MIX, BaitTotal
from .units import amount_convert

FRESH, FROZEN, DRY, COOKED = "fresh", "frozen", "dry", "cooked"
#: From the use that fewest lots serve to the one that any serves: each lot that is good for one
#: is good for all after it.
USES: Final = (HOOK, FEED, MIX)

# Days that bait keeps unless somebody says otherwise, by its state: common practice, no source,
# the days themselves from memory. What the shop or the packet says comes first, and smell and
# look before both.
KEEPS_DAYS: Final[dict[str, int]] = {FRESH: 7, COOKED: 3, FROZEN: 90, DRY: 365}


@dataclass(frozen=True, slots=True)
class Need:
    """What a member needs of a bait for one use ("hook", "feed" or "mix"), in the bait's unit."""

    member: str
    bait: str
    use: str
    amount: Fraction


@dataclass(frozen=True, slots=True)
class Lot:
    """Some bait in hand: the team's, or one member's own. `serves` are the uses it is good for.

    `amount` is in `unit`; `bait_unit` is what needs are in, `density` kilograms a litre.
    """

    id: int
    bait: str
    member: str | None
    amount: Fraction
    unit: str
    bait_unit: str
    serves: frozenset[str]
    density: Fraction | None = None
    bought_on: dt.date | None = None
    use_by: dt.date | None = None


@dataclass(frozen=True, slots=True)
class Taken:
    """What a member gets of a lot: `amount` in the lot's unit, which covers `covers` of their
    needs in the bait's unit. The two differ, by less than a ten-thousandth, only where the units
    do."""

    lot: int
    member: str
    bait: str
    amount: Fraction
    covers: Fraction


def lot_serves(state: str, *, kind: str, dead: bool) -> frozenset[str]:
    """What bait kept in that state is good for (common practice, no source).

    Frozen bait never goes on a hook: it is soft and falls off. What was alive is dead once it was
    frozen, so it does for the mix and not for loose feed that was planned alive.
    """
    if state != FROZEN:
        return frozenset(USES)
    return frozenset({MIX}) if kind == "animal" and not dead else frozenset({MIX, FEED})


def use_by_default(state: str, *, kind: str, since: dt.date) -> dt.date | None:
    """The last day bait that went in on `since` is counted on; None: it keeps. Soil keeps."""
    return None if kind == "soil" else since + dt.timedelta(days=KEEPS_DAYS[state])


def needs_by_use(member: str, *, totals: Sequence[BaitTotal]) -> list[Need]:
    """A member's needs with spare, in whole ten-thousandths.

    Together they are each bait's total as `amount_text` says it, rounded up.
    """
    needs = []
    for total in totals:
        whole = int(rounded_up(total.with_spare) * PARTS_OF_ONE)
        for use, part in largest_remainder(whole, total.uses).items():
            if part:
                needs.append(Need(member, total.bait, use, Fraction(part, PARTS_OF_ONE)))
    return needs


#: Of each bait, what the lots of a member (None: of the team) may cover at most, in its unit.
AtMost = Mapping[tuple[str, str | None], Fraction]


def lots_take(
    needs: Sequence[Need], *, lots: Sequence[Lot], on: dt.date, at_most: AtMost | None = None
) -> tuple[Taken, ...]:
    """What each member is given of which lot, for a match on that day.

    Members' own lots serve their own needs first, then the team's serve everybody's. Earliest
    use-by first, then bought first, then the smallest id. A lot past its day serves nothing, and
    none serves a use it is not good for. A lot goes to the use that fewest lots serve first, so
    no other way of going oldest first takes more in all. `at_most`, where there is one, names all
    that may be covered. In order of lot, then of member.

    Raises BadInput, pointing into a list `lots`, for a lot whose unit does not fit its bait.
    """
    left = _Left(needs, at_most=at_most)
    taken: dict[tuple[int, str], tuple[Fraction, Fraction]] = {}
    usable = [(at, lot) for at, lot in enumerate(lots) if _in_date(lot, on=on) and lot.amount > 0]
    for at, lot in sorted(usable, key=lambda row: _turn(row[1])):
        rest = lot.amount
        for use in USES:
            for member in left.members(lot, use=use):
                amount, covers = left.give(lot, member=member, use=use, rest=rest, at=at)
                rest -= amount
                before = taken.get((lot.id, member), (Fraction(0), Fraction(0)))
                taken[lot.id, member] = (before[0] + amount, before[1] + covers)
    baits = {lot.id: lot.bait for lot in lots}
    return tuple(
        Taken(lot_id, member, baits[lot_id], amount, covers)
        for (lot_id, member), (amount, covers) in sorted(taken.items())
        if amount > 0
    )


def _in_date(lot: Lot, *, on: dt.date) -> bool:
    return lot.use_by is None or lot.use_by >= on


def _turn(lot: Lot) -> tuple[bool, dt.date, dt.date, int]:
    """Where a lot stands in the queue; what has no day goes behind all that have one."""
    last = dt.date.max
    return (lot.member is None, lot.use_by or last, lot.bought_on or last, lot.id)


class _Left:
    """What is still needed while lots are handed out."""

    def __init__(self, needs: Sequence[Need], *, at_most: AtMost | None) -> None:
        self.at_most = None if at_most is None else dict(at_most)
        self.needs: dict[tuple[str, str, str], Fraction] = {}
        for need in needs:
            key = (need.bait, need.use, need.member)
            self.needs[key] = self.needs.get(key, Fraction(0)) + need.amount

    def members(self, lot: Lot, *, use: str) -> list[str]:
        """Who may get of the lot for that use: the largest need first, to split little."""
        if use not in lot.serves:
            return []
        asked = [
            (member, amount)
            for (bait, for_use, member), amount in self.needs.items()
            if bait == lot.bait and for_use == use and lot.member in (None, member)
        ]
        return [member for member, _ in sorted(asked, key=lambda row: (-row[1], row[0]))]

    def give(
        self, lot: Lot, *, member: str, use: str, rest: Fraction, at: int
    ) -> tuple[Fraction, Fraction]:
        """Give of the lot's `rest` for the use; what of it, and how much that covers."""
        need = self.needs[lot.bait, use, member]
        share = (lot.bait, lot.member)
        if self.at_most is not None:
            need = min(need, self.at_most.get(share, Fraction(0)))
        wanted = amount_convert(need, unit=lot.bait_unit, to=lot.unit, density=lot.density)
        if wanted is None:
            words = f"“{lot.unit}” does not fit “{lot.bait}”: count the lot again in its unit."
            raise BadInput(Fault(pointer("lots", at, "unit"), words))
        amount = min(rounded_up(wanted), rest)
        worth = amount_convert(amount, unit=lot.unit, to=lot.bait_unit, density=lot.density)
        covers = min(worth or Fraction(0), need)
        self.needs[lot.bait, use, member] -= covers
        if self.at_most is not None and covers:
            self.at_most[share] -= covers
        return amount, covers
