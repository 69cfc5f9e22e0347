"""A match's pools as anybody may read them: public names, ready for a bulletin or the API."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

from matches.models import Match, WonBy

from .payouts import PoolPayouts, Won, fish_logged, pool_payouts, standing_of
from .pool_accounts import match_money
from .result_rows import MatchResult


def pools_shown(
    match: Match, *, result: MatchResult | None = None, is_final: bool = False
) -> list[dict[str, Any]]:
    """Each pool with what it holds and pays, as JSON takes it; money in pence. `result`: what
    stands, where it was read already; `is_final`: it is being confirmed, or was. `open` while
    nothing is won yet.

    `payments`: `angler`, `entry`, `for` ("frame" or "section"), `pence`; of the frame `prizes`
    (pairs of place and pence), of a section its label and whether the frame `passed` it on;
    `equals`, how many shared.
    """
    money = match_money(match)
    if not money.accounts:
        return []
    standing = standing_of(money) if result is None else tuple(result.entries())
    by_fish = any(a.pool.won_by == WonBy.BIGGEST_FISH for a in money.accounts)
    fish = fish_logged(match) if by_fish else []
    paid = pool_payouts(money, standing=standing, fish=fish, is_final=is_final)
    return [_shown(p) for p in paid]


def _shown(payouts: PoolPayouts) -> dict[str, Any]:
    pool, account = payouts.account.pool, payouts.account
    return {
        "pool": pool.key,
        "name": pool.name,
        "won_by": pool.won_by,
        "opt_in": pool.opt_in,
        "stake_pence": pool.stake_pence,
        "entries": len(account.is_in),
        "holds": account.holds,
        "open": payouts.is_open,
        "payments": list(_payments(payouts.won)),
        "unallocated": payouts.unallocated,
        "rest_to": pool.rest_to,
    }


def _payments(won: Iterable[Won]) -> Iterable[dict[str, Any]]:
    for one in won:
        paid = one.payment
        yield {
            "entry": one.entry.pk,
            "angler": one.entry.angler.public_name,
            "for": paid.reason,
            "pence": paid.amount,
            "equals": paid.equals,
            **(
                {"prizes": [list(prize) for prize in paid.prizes]}
                if paid.reason == "frame"
                else {"section": paid.section, "passed": paid.passed}
            ),
        }
