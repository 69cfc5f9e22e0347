"""Who paid, who owes whom, and the fewest transfers that settle it. Whole pence throughout."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import Final

import numpy as np

#: With up to this many people left to settle the fewest transfers are found for certain.
MOST_EXACT: Final = 16


@dataclass(frozen=True, slots=True)
class Transfer:
    """`payer` gives `payee` so many pence."""

    payer: str
    payee: str
    pence: int


@dataclass(frozen=True, slots=True)
class Settlement:
    """Transfers that bring every balance to zero; `fewest`: proved that no fewer will do."""

    transfers: tuple[Transfer, ...]
    fewest: bool


def balances_work_out(
    dues: Mapping[str, int],
    *,
    paid: Iterable[tuple[str, int]],
    given: Iterable[Transfer] = (),
) -> dict[str, int]:
    """What each person is owed (above zero) or owes (below), in pence, by id.

    `dues` is what each must bear, `paid` what somebody paid a shop for all, `given` what was paid
    back among them already. The balances add up to what was paid less what is due.
    """
    balance = {person: -pence for person, pence in dues.items()}
    for person, pence in paid:
        balance[person] = balance.get(person, 0) + pence
    for transfer in given:
        balance[transfer.payer] = balance.get(transfer.payer, 0) + transfer.pence
        balance[transfer.payee] = balance.get(transfer.payee, 0) - transfer.pence
    return dict(sorted(balance.items()))


def transfers_fewest(balances: Mapping[str, int]) -> Settlement:
    """The fewest transfers after which nobody owes anybody.

    People whose balances add up to zero settle among themselves with one transfer fewer than they
    are, so the most such groups make the fewest transfers. Two who owe and are owed the same are
    always one of the best groups; of the rest, up to `MOST_EXACT`, every subset is weighed. Above
    that the largest debt goes to the largest claim, and `fewest` is said only where it is certain:
    no way has fewer transfers than there are people on the longer of the two sides.

    Raises ValueError when the balances do not add up to zero.
    """
    if sum(balances.values()):
        raise ValueError("the balances do not add up to zero")
    left = {person: pence for person, pence in sorted(balances.items()) if pence}
    pairs = _pairs_take(left)
    people = list(left)
    weighed = len(people) <= MOST_EXACT
    groups = _groups_most([left[p] for p in people]) if weighed else [list(range(len(people)))]
    moved = [
        t for group in groups for t in _group_settle({people[n]: left[people[n]] for n in group})
    ]
    least = max(sum(p > 0 for p in left.values()), sum(p < 0 for p in left.values()))
    transfers = tuple(sorted([*pairs, *moved], key=lambda t: (t.payer, t.payee)))
    return Settlement(transfers, weighed or len(moved) == least)


def _pairs_take(left: dict[str, int]) -> list[Transfer]:
    """Takes out of `left` everybody who finds one that is owed exactly what they owe.

    Never worse: were the two in different groups of a best answer, the pair and the rest of both
    groups would be two groups just as well.
    """
    claims: dict[int, list[str]] = {}
    for person, pence in left.items():
        if pence > 0:
            claims.setdefault(pence, []).append(person)
    found = []
    for person, pence in list(left.items()):
        if pence < 0 and claims.get(-pence):
            payee = claims[-pence].pop(0)
            found.append(Transfer(person, payee, -pence))
            del left[person], left[payee]
    return found


def _groups_most(amounts: Sequence[int]) -> list[list[int]]:
    """The most groups of places whose amounts add up to zero, covering all of them.

    The best of a set of people is the best of the set without one of them, and one group more
    where the set itself adds up to zero.
    """
    if not amounts:
        return []
    count = len(amounts)
    total = np.zeros(1 << count, dtype=np.int64)
    for n, amount in enumerate(amounts):
        total[1 << n : 2 << n] = total[: 1 << n] + amount
    best = np.zeros(1 << count, dtype=np.int8)
    sets = np.arange(1 << count)
    size = sum(sets >> n & 1 for n in range(count))
    for k in range(1, count + 1):
        layer = sets[size == k]
        for n in range(count):
            having = layer[layer >> n & 1 == 1]
            best[having] = np.maximum(best[having], best[having ^ (1 << n)])
        best[layer] += total[layer] == 0
    return _groups_walk(total, best)


def _groups_walk(total: np.ndarray, best: np.ndarray) -> list[list[int]]:
    """From everybody down to nobody, one person at a time; a group ends where the rest is even."""
    rest, groups = len(total) - 1, list[list[int]]()
    while rest:
        want = best[rest]
        if total[rest] == 0:
            groups.append([])
            want = want - 1
        n = next(
            n for n in range(rest.bit_length()) if rest >> n & 1 and best[rest ^ 1 << n] == want
        )
        groups[-1].append(n)
        rest ^= 1 << n
    return groups


def _group_settle(balances: Mapping[str, int]) -> list[Transfer]:
    """The largest debt to the largest claim until nothing is left: one fewer than the people."""
    debts = {p: -pence for p, pence in balances.items() if pence < 0}
    claims = {p: pence for p, pence in balances.items() if pence > 0}
    found = []
    while debts:
        payer = max(sorted(debts), key=lambda p: debts[p])
        payee = max(sorted(claims), key=lambda p: claims[p])
        pence = min(debts[payer], claims[payee])
        found.append(Transfer(payer, payee, pence))
        for side, person in ((debts, payer), (claims, payee)):
            side[person] -= pence
            if not side[person]:
                del side[person]
    return found
