"""What each pool pays as the result stands: the calculator asked with the match's own rows."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import Any
from uuid import UUID

from django.db.models import Exists, F, Q

from matches.models import (
    Bulletin,
    Entry,
    FactKind,
    Match,
    Pool,
    ScoredBy,
    WonBy,
)
from matches.reckon.decimals import decimal_read
from matches.reckon.payouts import (
    FramePrize,
    Payment,
    PayoutsRequest,
    PoolEntry,
    SectionPrizes,
    payouts_work_out,
)

from .in_force import facts_in_force, officials_then
from .pool_accounts import MatchMoney, PoolAccount
from .result_rows import ResultEntry
from .results import entries_standing


@dataclass(frozen=True, slots=True)
class FishLogged:
    """A single fish with its weight in the match's unit, as the scales logged it at `peg`."""

    fact: UUID
    peg: str
    species: str
    weight: int
    recorded_at: dt.datetime


@dataclass(frozen=True, slots=True)
class Won:
    """One payment of one pool to one entry."""

    pool: Pool
    entry: Entry
    payment: Payment


@dataclass(frozen=True, slots=True)
class PoolPayouts:
    """A pool and what it pays, in pence. `come_to` is all that could be won; where that is more
    than the pool holds, or nothing came in yet that could win, nothing is paid (`is_open`)."""

    account: PoolAccount
    come_to: int
    won: tuple[Won, ...]
    is_open: bool

    @property
    def is_over(self) -> bool:
        """Whether more could be won than the pool holds."""
        return self.come_to > self.account.holds

    @property
    def paid(self) -> int:
        """Pence won."""
        return sum(w.payment.amount for w in self.won)

    @property
    def unallocated(self) -> int:
        """What nobody won, once it is known."""
        return 0 if self.is_open else self.account.holds - self.paid

    @property
    def undecided(self) -> int:
        """Pence that may still be won, or be nobody's."""
        return self.account.holds if self.is_open else 0


def standing_of(money: MatchMoney) -> tuple[ResultEntry, ...]:
    """The drawn entries with what counts of their weight. One query."""
    drawn = [e.drawn_peg.section_peg for e in money.entries if hasattr(e, "drawn_peg")]
    return tuple(entries_standing(money.match, drawn).values())


def pool_payouts(
    money: MatchMoney,
    *,
    standing: Iterable[ResultEntry],
    fish: Iterable[FishLogged],
    is_final: bool = False,
) -> tuple[PoolPayouts, ...]:
    """What each pool pays. Whoever is absent or disqualified wins nothing; an odd penny goes to
    who was entered first. `is_final`: nothing more comes in, so a pool that nobody won is left."""
    rows = {e.entry: e for e in standing}
    heaviest: dict[str, int] = {}
    for one in fish:
        heaviest[one.peg] = max(one.weight, heaviest.get(one.peg, 0))
    return tuple(
        _payouts(money.match, a, rows=rows, fish=heaviest, is_final=is_final)
        for a in money.accounts
    )


def frame_of(pool: Pool) -> tuple[FramePrize, ...]:
    """The pool's prizes by place, as the calculator takes them."""
    return tuple(
        FramePrize(row["place"], percent=decimal_read(row["percent"]))
        if "percent" in row
        else FramePrize(row["place"], amount=row["pence"])
        for row in pool.frame
    )


def prizes_come_to(pool: Pool, *, holds: int, sections: int) -> int:
    """All that could be won of a pool in pence, with so many sections."""
    return sum(p.pence(pool=holds) for p in frame_of(pool)) + pool.section_pence * sections


def fish_logged(match: Match) -> list[FishLogged]:
    """Single fish with a weight, logged by who may weigh in this match and not taken back, the
    heaviest first. One query."""
    rows = (
        facts_in_force()
        .filter(
            Exists(officials_then()),
            # SQLite takes "no weight" for more than nothing.
            ~Q(body__weight=None),
            match=match,
            kind=FactKind.FISH_NOTE,
            body__count=1,
            body__weight__gt=0,
        )
        .order_by(F("body__weight").desc(), "cseq")
        .values_list("pk", "peg", "body", "recorded_at")
    )
    return [FishLogged(pk, peg, b["species"], b["weight"], at) for pk, peg, b, at in rows]


def confirms(latest: Bulletin | None, standing: Iterable[ResultEntry]) -> bool:
    """Whether the latest bulletin is confirmed and says of every peg what stands now."""
    if latest is None or not latest.confirmed:
        return False
    said = {
        e["peg"]: (e["status"], e.get("counted_weight", e["weight"]), e.get("score"))
        for s in latest.body["sections"]
        for e in s["entries"]
    }
    return said == {e.peg: (e.status, e.counted, e.score) for e in standing}


def says_prizes(latest: Bulletin, pools: Iterable[PoolPayouts]) -> bool:
    """Whether a bulletin says of every pool who wins how much of it now."""
    said = {
        (pool["pool"], paid["entry"], paid["for"]): paid["pence"]
        for pool in latest.body.get("pools", [])
        for paid in pool["payments"]
    }
    return said == {
        (w.pool.key, w.entry.pk, w.payment.reason): w.payment.amount for p in pools for w in p.won
    }


def _payouts(
    match: Match,
    account: PoolAccount,
    *,
    rows: Mapping[int, ResultEntry],
    fish: Mapping[str, int],
    is_final: bool,
) -> PoolPayouts:
    pool, entries = account.pool, {_id(s.entry): s.entry for s in account.is_in}
    asked = tuple(
        PoolEntry(angler, *_section_weight(match, pool, rows.get(entry.pk), fish=fish))
        for angler, entry in entries.items()
    )
    request = PayoutsRequest(
        account.holds,
        asked,
        frame_of(pool),
        SectionPrizes(pool.section_pence, by_default=pool.section_by_default)
        if pool.section_pence
        else None,
    )
    may_come = not is_final and not any(e.weight for e in asked)
    is_open = bool(account.holds) and (may_come or request.prizes > account.holds)
    payments = () if is_open or not account.holds else payouts_work_out(request).payments
    return PoolPayouts(
        account,
        request.prizes,
        tuple(Won(pool, entries[p.angler], p) for p in payments),
        is_open,
    )


def _section_weight(
    match: Match, pool: Pool, row: ResultEntry | None, *, fish: Mapping[str, int]
) -> tuple[str | None, int]:
    """Where the entry fished and what it wins by; nothing for who does not count."""
    if row is None:
        return None, 0
    if not row.counts:
        return row.section, 0
    if pool.won_by == WonBy.BIGGEST_FISH:
        return row.section, fish.get(row.peg, 0)
    by: Any = row.score if match.scored_by == ScoredBy.FISH else row.counted
    return row.section, by or 0


def _id(entry: Entry) -> str:
    """Sorts as entry numbers do."""
    return f"{entry.pk:012d}"
