"""Who is paid what out of a pool, to the penny."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from itertools import groupby
from typing import Literal

from ..money import largest_remainder, pence_format
from .request import PayoutsRequest, PoolEntry

Reason = Literal["frame", "section"]


@dataclass(frozen=True, slots=True)
class Payment:
    """Pence won by one angler, and for what.

    `prizes`: the places it is for and what each is worth in pence, none for a section's prize;
    `equals`: how many shared them. Of a section's prize also the `section`, and whether somebody
    ahead there `passed` it on for a frame prize.
    """

    angler: str
    reason: Reason
    amount: int
    prizes: tuple[tuple[int, int], ...] = ()
    equals: int = 1
    section: str = ""
    passed: bool = False


@dataclass(frozen=True, slots=True)
class PayoutsAnswer:
    """Payments above nothing: the frame from its first place on, then sections by id.

    Within these, and in `totals`, anglers stand by id in UTF-8 bytes. All in pence;
    `paid` + `unallocated` is the pool.
    """

    payments: tuple[Payment, ...]
    pool: int

    @property
    def totals(self) -> dict[str, int]:
        """What each angler who won anything takes home."""
        sums: defaultdict[str, int] = defaultdict(int)
        for payment in self.payments:
            sums[payment.angler] += payment.amount
        return {angler: sums[angler] for angler in sorted(sums, key=str.encode)}

    @property
    def paid(self) -> int:
        """All that is paid out."""
        return sum(payment.amount for payment in self.payments)

    @property
    def unallocated(self) -> int:
        """What nobody won or no prize was set for."""
        return self.pool - self.paid

    def as_json(self) -> dict[str, object]:
        """The response of the API."""
        return {
            "payments": [
                {"angler": p.angler, "for": p.reason, "amount": pence_format(p.amount)}
                for p in self.payments
            ],
            "totals": [
                {"angler": angler, "amount": pence_format(amount)}
                for angler, amount in self.totals.items()
            ],
            "paid": pence_format(self.paid),
            "unallocated": pence_format(self.unallocated),
        }


def payouts_work_out(request: PayoutsRequest) -> PayoutsAnswer:
    """Share out the pool. The order of entries and prizes in the request does not matter.

    The frame goes by weight over all; equal weights share the prizes of the places they fill,
    odd pennies to the first ids. The best of each section gets the section's prize, shared in
    the same way by equals. With `by_default` whoever fills a frame place that has a prize passes
    the section's to the next. A blank wins nothing.
    """
    framed: set[str] = set()
    payments: list[Payment] = []
    prizes = {prize.place: prize.pence(pool=request.pool) for prize in request.frame}
    best = 1
    for equals in _equals(request.entries):
        filled = [(p, prizes[p]) for p in range(best, best + len(equals)) if prizes.get(p)]
        best += len(equals)
        if filled:
            framed.update(entry.angler for entry in equals)
            for angler, share in _shares(sum(pence for _, pence in filled), equals):
                payments.append(Payment(angler, "frame", share, tuple(filled), len(equals)))
    if request.sections:
        passed = framed if request.sections.by_default else set()
        for section, equals, was_passed in _section_winners(request.entries, passed=passed):
            for angler, share in _shares(request.sections.amount_each, equals):
                payments.append(
                    Payment(angler, "section", share, (), len(equals), section, was_passed)
                )
    return PayoutsAnswer(payments=tuple(payments), pool=request.pool)


def _equals(entries: Iterable[PoolEntry]) -> Iterator[list[PoolEntry]]:
    """Those who caught, the heaviest first, in runs of equal weight."""
    caught = sorted((e for e in entries if e.weight), key=lambda e: -e.weight)
    for _, run in groupby(caught, key=lambda e: e.weight):
        yield list(run)


def _section_winners(
    entries: Iterable[PoolEntry], *, passed: set[str]
) -> Iterator[tuple[str, list[PoolEntry], bool]]:
    """The best of each section that caught, leaving out the `passed`, and whether one of these was
    ahead of them; sections by id."""
    members: defaultdict[str, list[PoolEntry]] = defaultdict(list)
    for entry in entries:
        if entry.section is not None:
            members[entry.section].append(entry)
    for section in sorted(members, key=str.encode):
        ahead = False
        for equals in _equals(members[section]):
            left = [entry for entry in equals if entry.angler not in passed]
            if left:
                yield section, left, ahead
                break
            ahead = True


def _shares(amount: int, equals: Iterable[PoolEntry]) -> Iterator[tuple[str, int]]:
    """Each one's share above nothing, by id."""
    shares = largest_remainder(amount, {entry.angler: 1 for entry in equals})
    for angler in sorted(shares, key=str.encode):
        if shares[angler]:
            yield angler, shares[angler]
