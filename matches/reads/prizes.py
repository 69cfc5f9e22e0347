"""Prizes by angler, what is still to be handed over or asked back, and the whole cash of a match.

Fetch the match through `matches.reads.access` first; these add no check of their own.
"""

from __future__ import annotations

import uuid
from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass
from typing import Final

from matches.models import Bulletin, Entry, Match, WonBy

from .payouts import (
    PoolPayouts,
    Won,
    confirms,
    fish_logged,
    pool_payouts,
    says_prizes,
    standing_of,
)
from .pool_accounts import MatchMoney, match_money

_PRIZES: Final = uuid.UUID("7d8f3a52-6d0c-4a3f-9c1e-54a9b6c1f0de")


@dataclass(frozen=True, slots=True)
class Prize:
    """What one entry won in all pools, and what of it was handed over, in pence.

    `key`: of the next handing over; it is another as soon as that is noted, so that two phones
    which show the same list pay once.
    """

    entry: Entry
    won: tuple[Won, ...]
    handed: int
    key: uuid.UUID

    @property
    def due(self) -> int:
        """Pence won in all pools."""
        return sum(w.payment.amount for w in self.won)

    @property
    def to_hand_over(self) -> int:
        """Pence still to hand over."""
        return max(0, self.due - self.handed)

    @property
    def to_ask_back(self) -> int:
        """Pence handed over beyond what is won: a correction took them."""
        return max(0, self.handed - self.due)


@dataclass(frozen=True, slots=True)
class Tin:
    """The cash of a match to the penny: `comes_in` is always `goes_out`."""

    fees: int
    stakes: int
    owed: int
    handed: int
    to_hand_over: int
    to_ask_back: int
    unallocated: int
    undecided: int
    fees_kept: int
    to_give_back: int

    @property
    def taken(self) -> int:
        return self.fees + self.stakes

    @property
    def lies_in(self) -> int:
        """What is in the tin now."""
        return self.taken - self.handed

    @property
    def comes_in(self) -> int:
        """What was taken, what is still owed to the pools, and what is to be asked back."""
        return self.taken + self.owed + self.to_ask_back

    @property
    def goes_out(self) -> int:
        """Where it went and is to go."""
        return (
            self.handed
            + self.to_hand_over
            + self.unallocated
            + self.undecided
            + self.fees_kept
            + self.to_give_back
        )


@dataclass(frozen=True, slots=True)
class Settlement:
    """All pools of a match as the result stands. `confirmed`: the latest bulletin confirms just
    this result and these prizes, so that they can be handed over."""

    money: MatchMoney
    pools: tuple[PoolPayouts, ...]
    prizes: tuple[Prize, ...]
    tin: Tin
    bulletin: Bulletin | None
    confirmed: bool


def settlement(match: Match) -> Settlement:
    """Seven queries at most, however many entries, pools and weights there are."""
    money = match_money(match)
    standing = standing_of(money)
    by_fish = any(a.pool.won_by == WonBy.BIGGEST_FISH for a in money.accounts)
    fish = fish_logged(match) if by_fish else []
    latest = Bulletin.objects.filter(match=match).order_by("-number").first()
    is_final = confirms(latest, standing)
    pools = pool_payouts(money, standing=standing, fish=fish, is_final=is_final)
    prizes = prizes_of(money, pools)
    return Settlement(
        money=money,
        pools=pools,
        prizes=prizes,
        tin=tin_of(money, pools, prizes),
        bulletin=latest,
        confirmed=is_final and latest is not None and says_prizes(latest, pools),
    )


def prizes_of(money: MatchMoney, pools: Iterable[PoolPayouts]) -> tuple[Prize, ...]:
    """Everybody who won or was handed something, by name."""
    won: defaultdict[int, list[Won]] = defaultdict(list)
    for pool in pools:
        for one in pool.won:
            won[one.entry.pk].append(one)
    return tuple(
        Prize(
            e,
            tuple(won[e.pk]),
            handed.pence if handed else 0,
            _key(e, handed.rows if handed else 0),
        )
        for e in money.entries
        for handed in [money.handed.get(e.pk)]
        if won[e.pk] or (handed and handed.pence)
    )


def tin_of(money: MatchMoney, pools: Iterable[PoolPayouts], prizes: Iterable[Prize]) -> Tin:
    """Where all the money of the match came from and goes to."""
    of_pools, of_prizes = tuple(pools), tuple(prizes)
    fees, accounts = money.fees.values(), money.accounts
    fees_back = sum(f.to_give_back for f in fees)
    return Tin(
        fees=sum(f.paid for f in fees),
        stakes=sum(a.taken for a in accounts),
        owed=sum(a.owed for a in accounts),
        handed=sum(h.pence for h in money.handed.values()),
        to_hand_over=sum(p.to_hand_over for p in of_prizes),
        to_ask_back=sum(p.to_ask_back for p in of_prizes),
        unallocated=sum(p.unallocated for p in of_pools),
        undecided=sum(p.undecided for p in of_pools),
        fees_kept=sum(f.paid for f in fees) - fees_back,
        to_give_back=fees_back + sum(a.to_give_back for a in accounts),
    )


def _key(entry: Entry, rows: int) -> uuid.UUID:
    return uuid.uuid5(_PRIZES, f"{entry.pk} {rows}")
