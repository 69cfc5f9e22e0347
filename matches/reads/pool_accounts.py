"""The money of a match: who is in which pool, what was taken, given back and handed over.

Fetch the match through `matches.reads.access` first; these add no check of their own.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable, Mapping
from dataclasses import dataclass

from django.db.models import BigIntegerField, Count, Sum, Value

from matches.models import (
    FISHING,
    Entry,
    EntryStatus,
    FeePayment,
    Match,
    Pool,
    PoolEntry,
    PrizePaid,
)

from .fees import Fee, fee_due


@dataclass(frozen=True, slots=True)
class Stake:
    """One entry's account with one pool, in pence. `stays`: what who withdrew had paid and did not
    get back, which is in the pool with the rest."""

    entry: Entry
    is_in: bool
    due: int
    paid: int
    stays: int = 0

    @property
    def owes(self) -> int:
        """Pence still to take."""
        return max(0, self.due - self.paid)

    @property
    def to_give_back(self) -> int:
        """Pence taken beyond what is due and stays."""
        return max(0, self.paid - self.due - self.stays)


@dataclass(frozen=True, slots=True)
class PoolAccount:
    """A pool with everybody who is in or paid, in pence.

    `holds` is what the prizes are reckoned from: the stakes of all who are in, paid or not, and
    what stays of who withdrew. `taken` is what lies in the tin for it.
    """

    pool: Pool
    stakes: tuple[Stake, ...]

    @property
    def is_in(self) -> tuple[Stake, ...]:
        """The stakes of those who play for it."""
        return tuple(s for s in self.stakes if s.is_in)

    @property
    def holds(self) -> int:
        return sum(s.due + s.stays for s in self.stakes)

    @property
    def taken(self) -> int:
        return sum(s.paid for s in self.stakes)

    @property
    def owed(self) -> int:
        return sum(s.owes for s in self.stakes)

    @property
    def owing(self) -> tuple[Stake, ...]:
        """Those who still owe some of it."""
        return tuple(s for s in self.stakes if s.owes)

    @property
    def stays(self) -> int:
        return sum(s.stays for s in self.stakes)

    @property
    def to_give_back(self) -> int:
        return sum(s.to_give_back for s in self.stakes)


@dataclass(frozen=True, slots=True)
class Handed:
    """What an entry was handed in prizes, in how many rows."""

    pence: int = 0
    rows: int = 0


@dataclass(frozen=True, slots=True)
class MatchMoney:
    """Everything of a match that is money; fees and prizes by entry."""

    match: Match
    entries: tuple[Entry, ...]
    accounts: tuple[PoolAccount, ...]
    fees: Mapping[int, Fee]
    handed: Mapping[int, Handed]


def match_money(match: Match) -> MatchMoney:
    """Entries come by name, with their drawn pegs. Three queries, however many there are."""
    entries = tuple(
        Entry.objects.filter(match=match)
        .select_related("angler", "team", "drawn_peg__section_peg__section")
        .select_related("drawn_peg__section_peg__peg")
        .order_by("angler__name", "pk")
    )
    fees: dict[int, int] = {}
    stakes: dict[tuple[int, int], int] = {}
    chosen: set[tuple[int, int]] = set()
    handed: dict[int, Handed] = {}
    for kind, entry, pool, pence, rows in _rows(match):
        if kind == "handed":
            handed[entry] = Handed(pence, rows)
        elif pool is None:
            fees[entry] = pence
        elif kind == "chosen":
            chosen.add((pool, entry))
        else:
            stakes[pool, entry] = pence
    return MatchMoney(
        match=match,
        entries=entries,
        accounts=tuple(
            PoolAccount(pool, _stakes(pool, entries, chosen=chosen, paid=stakes))
            for pool in Pool.objects.filter(match=match).select_related("match")
        ),
        fees={e.pk: Fee(fee_due(match, e), fees.get(e.pk, 0)) for e in entries},
        handed=handed,
    )


def _stakes(
    pool: Pool,
    entries: Iterable[Entry],
    *,
    chosen: Collection[tuple[int, int]],
    paid: Mapping[tuple[int, int], int],
) -> tuple[Stake, ...]:
    """The account of everybody with a place, and of who paid and has none."""
    rows = (
        _stake(
            pool,
            entry,
            chosen=not pool.opt_in or (pool.pk, entry.pk) in chosen,
            paid=paid.get((pool.pk, entry.pk), 0),
        )
        for entry in entries
    )
    return tuple(row for row in rows if row.entry.status in FISHING or row.paid)


def _rows(match: Match) -> list[tuple[str, int, int | None, int, int]]:
    """Sums of what was paid, who chose which pool, and what was handed over: one query."""
    number = BigIntegerField()
    paid = FeePayment.objects.filter(entry__match=match).order_by()
    chosen = PoolEntry.objects.filter(pool__match=match).order_by()
    handed = PrizePaid.objects.filter(match=match).order_by()
    of_paid = paid.annotate(kind=Value("paid")).values_list("kind", "entry_id", "pool_id")
    of_handed = handed.annotate(kind=Value("handed"), of=Value(0, number))
    of_chosen = chosen.annotate(kind=Value("chosen"), sum=Value(0, number), n=Value(1, number))
    return list(
        of_paid.annotate(sum=Sum("pence"), n=Count("pk")).union(
            of_handed.values_list("kind", "entry_id", "of").annotate(
                sum=Sum("pence"), n=Count("pk")
            ),
            of_chosen.values_list("kind", "entry_id", "pool_id", "sum", "n"),
            all=True,
        )
    )


def _stake(pool: Pool, entry: Entry, *, chosen: bool, paid: int) -> Stake:
    """A match that is called off has no pools: all that was paid is to be given back."""
    if pool.match.called_off or not chosen:
        return Stake(entry, is_in=False, due=0, paid=paid)
    if entry.status in FISHING:
        return Stake(entry, is_in=True, due=pool.stake_pence, paid=paid)
    stays = max(0, paid) if entry.status == EntryStatus.WITHDRAWN else 0
    return Stake(entry, is_in=False, due=0, paid=paid, stays=stays)
