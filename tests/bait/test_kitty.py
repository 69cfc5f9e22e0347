"""Balances to the penny, and the fewest transfers: against every way there is, on small cases."""

from __future__ import annotations

import itertools
import random
from collections.abc import Sequence

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from bait.reckon.kitty import MOST_EXACT, Transfer, balances_work_out, transfers_fewest
from tests.thorough import trials


def after(balances: dict[str, int], transfers: Sequence[Transfer]) -> dict[str, int]:
    """What is left of the balances once everybody has paid."""
    return balances_work_out(
        {person: -pence for person, pence in balances.items()}, paid=[], given=transfers
    )


def fewest_by_every_split(amounts: list[int]) -> int:
    """Transfers that the best split into groups adding up to zero needs, by trying all splits."""

    def splits(rest: list[int]) -> int:
        if not rest:
            return 0
        first, others = rest[0], rest[1:]
        most = -len(rest)
        for size in range(len(others) + 1):
            for chosen in itertools.combinations(range(len(others)), size):
                if first + sum(others[n] for n in chosen) == 0:
                    left = [a for n, a in enumerate(others) if n not in chosen]
                    most = max(most, 1 + splits(left))
        return most

    people = [a for a in amounts if a]
    return len(people) - splits(people)


def made_up(seed: int, *, most: int = 7) -> dict[str, int]:
    rng = random.Random(seed)
    amounts = [
        rng.choice([-300, -200, -100, 100, 200, 300, rng.randint(-900, 900)])
        for _ in range(most - 1)
    ]
    amounts.append(-sum(amounts))
    return {f"m{n}": amount for n, amount in enumerate(amounts)}


def test_balances_are_what_was_paid_less_what_is_due() -> None:
    balances = balances_work_out(
        {"maud": 1100, "wilmot": 3080},
        paid=[("maud", 4180)],
        given=[Transfer("wilmot", "maud", 2000)],
    )
    assert balances == {"maud": 1080, "wilmot": -1080}


def test_somebody_who_only_paid_is_owed_it_all() -> None:
    assert balances_work_out({"maud": 500}, paid=[("idris", 500)]) == {"idris": 500, "maud": -500}


def test_two_groups_settle_apart() -> None:
    # 5 and 3 owe, 4, 3 and 1 are owed: the threes settle alone, the 5 pays two.
    found = transfers_fewest({"a": -500, "b": -300, "c": 400, "d": 300, "e": 100})
    assert found.fewest
    assert found.transfers == (
        Transfer("a", "c", 400),
        Transfer("a", "e", 100),
        Transfer("b", "d", 300),
    )


def test_greed_would_take_one_more() -> None:
    # The largest debt to the largest claim (6 to 4, 5 to 3 …) needs five; 5 = 4 + 1 and 6 = 3 + 3.
    found = transfers_fewest({"a": -500, "b": -600, "c": 400, "d": 100, "e": 300, "f": 300})
    assert {(t.payer, t.payee) for t in found.transfers} == {
        ("a", "c"),
        ("a", "d"),
        ("b", "e"),
        ("b", "f"),
    }


def test_nobody_owes_anybody() -> None:
    assert transfers_fewest({"a": 0, "b": 0}).transfers == ()
    assert transfers_fewest({}).fewest


def test_balances_that_do_not_add_up_are_refused() -> None:
    with pytest.raises(ValueError, match="add up to zero"):
        transfers_fewest({"a": 1})


@pytest.mark.parametrize("seed", range(150))
def test_no_split_into_groups_needs_fewer(seed: int) -> None:
    balances = made_up(seed, most=2 + seed % 7)
    found = transfers_fewest(balances)
    assert found.fewest
    assert len(found.transfers) == fewest_by_every_split(list(balances.values()))
    assert set(after(balances, found.transfers).values()) <= {0}


@settings(max_examples=trials(50, in_full=150), deadline=None)
@given(st.lists(st.integers(-100_000, 100_000), max_size=30))
def test_transfers_bring_everybody_to_zero_and_nobody_pays_and_takes(amounts: list[int]) -> None:
    balances = {f"m{n:02}": amount for n, amount in enumerate([*amounts, -sum(amounts)])}
    found = transfers_fewest(balances)
    assert set(after(balances, found.transfers).values()) <= {0}
    assert all(t.pence > 0 for t in found.transfers)
    assert not {t.payer for t in found.transfers} & {t.payee for t in found.transfers}
    assert len(found.transfers) < max(1, sum(1 for a in balances.values() if a))
    assert found == transfers_fewest(dict(reversed(balances.items())))


def test_one_who_paid_for_fifty_is_proved_without_weighing_every_subset() -> None:
    balances = {f"m{n:02}": -(101 + n) for n in range(49)}
    balances["captain"] = -sum(balances.values())
    found = transfers_fewest(balances)
    assert (len(found.transfers), found.fewest) == (49, True)


def test_a_large_team_with_many_payers_is_told_that_fewer_may_do() -> None:
    rng = random.Random(5)
    balances = {f"m{n:02}": rng.choice([-1, 1]) * rng.randint(1, 10**6) for n in range(24)}
    balances["zz"] = -sum(balances.values())
    assert len(balances) > MOST_EXACT
    assert not transfers_fewest(balances).fewest
