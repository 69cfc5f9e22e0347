"""What each member owes: in proportion to what they still need, and to the penny."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from fractions import Fraction

from matches.reckon.money import largest_remainder

from .prepare import Needs


@dataclass(frozen=True, slots=True)
class Share:
    """Pence due from a member; `alone`: their least cost on their own, None if not compared."""

    member: str
    due: int
    alone: int | None

    @property
    def saving(self) -> int | None:
        return None if self.alone is None else self.alone - self.due


@dataclass(frozen=True, slots=True)
class Bill:
    """One line to be shared: the supplier, the bait and pence of goods."""

    supplier: str
    bait: str
    cost: int


def shares_work_out(
    bills: list[Bill],
    *,
    delivery: Mapping[str, int],
    needs: Needs,
    alone: Mapping[str, int | None],
) -> tuple[Share, ...]:
    """Every member's share, by member id; together exactly all goods and delivery.

    A line is shared in proportion to `needs` (after own stock), a supplier's delivery in
    proportion to its goods. Where the members' `alone` costs allow it nobody pays more than that:
    the excess moves to the others in proportion to their saving. Pennies by largest remainder.
    """
    goods: dict[str, dict[str, Fraction]] = {}
    for bill in bills:
        wanted = {m: mine.get(bill.bait, Fraction(0)) for m, mine in needs.items()}
        total = sum(wanted.values(), Fraction(0))
        mine = goods.setdefault(bill.supplier, dict.fromkeys(needs, Fraction(0)))
        for member, want in wanted.items():
            mine[member] += bill.cost * want / total
    due = dict.fromkeys(needs, Fraction(0))
    for supplier, by_member in goods.items():
        spent = sum(by_member.values(), Fraction(0))
        fee = delivery.get(supplier, 0)
        even = Fraction(1, len(needs))
        for member, part in by_member.items():
            due[member] += part + fee * (part / spent if spent else even)
    due = _capped(due, alone=alone)
    total_due = sum(due.values(), Fraction(0))
    pence = largest_remainder(int(total_due), due) if due else {}
    return tuple(Share(m, pence[m], alone.get(m)) for m in sorted(due))


def _capped(due: dict[str, Fraction], *, alone: Mapping[str, int | None]) -> dict[str, Fraction]:
    """`due` with nobody above `alone`, where the others' savings can carry the excess."""
    saving = {m: Fraction(most) - due[m] for m, most in alone.items() if most is not None}
    excess = sum((-s for s in saving.values() if s < 0), Fraction(0))
    room = sum((s for s in saving.values() if s > 0), Fraction(0))
    if not excess or excess > room:
        return due
    moved = {m: s if s < 0 else excess * s / room for m, s in saving.items()}
    return {m: amount + moved.get(m, Fraction(0)) for m, amount in due.items()}
