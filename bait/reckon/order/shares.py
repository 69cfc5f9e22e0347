"""What each member owes: in proportion to what they still need, and to the penny."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction
from math import floor
from typing import Final

from matches.reckon.money import largest_remainder

from .prepare import Needs

#: What a part of a share is for.
GOODS: Final = "goods"
DELIVERY: Final = "delivery"
MOVED: Final = "moved"


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
    """One line to be shared: the supplier, the bait, pence of goods and the pack it is for."""

    supplier: str
    bait: str
    cost: int
    pack: str = ""


@dataclass(frozen=True, slots=True)
class SharePart:
    """Pence of a member's share: of a pack's line ("goods"), of a supplier's "delivery", or
    "moved" between members so that nobody pays more than alone (below zero: taken off them)."""

    kind: str
    pence: int
    supplier: str = ""
    bait: str = ""
    pack: str = ""


Part = tuple[str, str, str, str]
Parts = dict[str, dict[Part, Fraction]]


def shares_work_out(
    bills: Sequence[Bill],
    *,
    delivery: Mapping[str, int],
    needs: Needs,
    alone: Mapping[str, int | None],
) -> tuple[Share, ...]:
    """Every member's share, by member id; together exactly all goods and delivery.

    A line is shared in proportion to `needs` (after own stock), evenly where nobody needs any of
    it any more; a supplier's delivery in proportion to its goods. Where the members' `alone`
    costs allow it nobody pays more than that: the excess moves to the others in proportion to
    their saving. Pennies by largest remainder.
    """
    parts = _parts(bills, delivery=delivery, needs=needs, alone=alone)
    pence = _dues(parts)
    return tuple(Share(m, pence[m], alone.get(m)) for m in sorted(pence))


def shares_break_down(
    bills: Sequence[Bill],
    *,
    delivery: Mapping[str, int],
    needs: Needs,
    alone: Mapping[str, int | None],
) -> dict[str, tuple[SharePart, ...]]:
    """What each member's share consists of; a member's parts add up exactly to what is due.

    Largest remainder twice: first the whole among the members (as `shares_work_out`), then each
    member's pence among their own parts, ties to the part that stands first. So a member's column
    always adds up; the members' parts of one line may miss its cost by a penny here and there.
    """
    parts = _parts(bills, delivery=delivery, needs=needs, alone=alone)
    dues = _dues(parts)
    return {
        member: tuple(
            SharePart(kind, pence, supplier, bait, pack)
            for (kind, supplier, bait, pack), pence in _signed_split(
                dues[member], parts[member]
            ).items()
        )
        for member in sorted(parts)
    }


def _parts(
    bills: Sequence[Bill],
    *,
    delivery: Mapping[str, int],
    needs: Needs,
    alone: Mapping[str, int | None],
) -> Parts:
    """Every member's exact parts: goods by line, delivery by supplier, what was moved last."""
    parts: Parts = {member: {} for member in needs}
    spent: dict[str, dict[str, Fraction]] = {}
    for bill in bills:
        by_member = spent.setdefault(bill.supplier, dict.fromkeys(needs, Fraction(0)))
        wanted = {m: mine.get(bill.bait, Fraction(0)) for m, mine in needs.items()}
        for member, part in _in_proportion(bill.cost, wanted).items():
            _add(parts[member], (GOODS, bill.supplier, bill.bait, bill.pack), part)
            by_member[member] += part
    for supplier, by_member in spent.items():
        for member, part in _in_proportion(delivery.get(supplier, 0), by_member).items():
            _add(parts[member], (DELIVERY, supplier, "", ""), part)
    for member, part in _moved(parts, alone=alone).items():
        _add(parts[member], (MOVED, "", "", ""), part)
    return parts


def _add(parts: dict[Part, Fraction], key: Part, amount: Fraction) -> None:
    if amount:
        parts[key] = parts.get(key, Fraction(0)) + amount


def _in_proportion(pence: int, weights: Mapping[str, Fraction]) -> dict[str, Fraction]:
    """`pence` by `weights`, exactly; evenly where all of them are zero. Who has none is left out:
    most members need few of the baits."""
    held = {key: weight for key, weight in weights.items() if weight}
    if not held:
        return {key: Fraction(pence, len(weights)) for key in weights}
    each = pence / sum(held.values(), Fraction(0))
    return {key: weight * each for key, weight in held.items()}


def _moved(parts: Parts, *, alone: Mapping[str, int | None]) -> dict[str, Fraction]:
    """What is added to each share so that nobody is above `alone`, where savings can carry it."""
    due = {member: sum(mine.values(), Fraction(0)) for member, mine in parts.items()}
    saving = {m: Fraction(most) - due[m] for m, most in alone.items() if most is not None}
    excess = sum((-s for s in saving.values() if s < 0), Fraction(0))
    room = sum((s for s in saving.values() if s > 0), Fraction(0))
    if not excess or excess > room:
        return {}
    return {m: s if s < 0 else excess * s / room for m, s in saving.items()}


def _dues(parts: Parts) -> dict[str, int]:
    due = {member: sum(mine.values(), Fraction(0)) for member, mine in parts.items()}
    return largest_remainder(int(sum(due.values(), Fraction(0))), due) if due else {}


def _signed_split(whole: int, parts: Mapping[Part, Fraction]) -> dict[Part, int]:
    """`whole` among `parts`, of which one may be below zero; they add up to less than 1 off it.

    Each part gets the whole number below it, the rest goes to the largest remainders.
    """
    given = {key: floor(part) for key, part in parts.items()}
    order = sorted(parts, key=lambda key: given[key] - parts[key])  # stable: first part first
    for key in order[: whole - sum(given.values())]:
        given[key] += 1
    return {key: pence for key, pence in given.items() if pence}
