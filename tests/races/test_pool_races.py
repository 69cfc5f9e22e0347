"""Taps at once on a stake and on a prize: the money moves once."""

from __future__ import annotations

from typing import Any

import pytest

from matches.models import FeePayment, Match, PrizePaid
from matches.reads.prizes import settlement
from matches.writes.pools import pool_entries_set
from matches.writes.prizes import prize_hand_over
from matches.writes.stakes import stake_give_back, stakes_take
from tests.fished import weigh_all
from tests.matches.pooled import confirm, pool

pytestmark = pytest.mark.django_db(transaction=True)

AT_ONCE = 8


def test_eight_taps_on_a_stake_take_it_once_and_give_it_back_once(
    shared_world: Any, together: Any
) -> None:
    world = shared_world
    made, maud = pool(world, who="opt_in"), world.entries["Maud"]

    def choose() -> int:
        return pool_entries_set(
            world.secretary, match=world.match, pool_id=made.pk, entry_ids=[maud.pk], reason="x"
        )

    def take() -> int:
        return len(
            stakes_take(world.secretary, match=world.match, pool_id=made.pk, entry_ids=[maud.pk])
        )

    def give_back() -> int:
        done = stake_give_back(
            world.secretary, match=world.match, pool_id=made.pk, entry_id=maud.pk
        )
        return 0 if done is None else done.pence

    assert sorted(together([choose] * AT_ONCE)) == [0] * (AT_ONCE - 1) + [1]
    assert sorted(together([take] * AT_ONCE)) == [0] * (AT_ONCE - 1) + [1]
    Match.objects.filter(pk=world.match.pk).update(called_off="The river is over the bank.")
    assert sorted(together([give_back] * AT_ONCE)) == [-500] + [0] * (AT_ONCE - 1)
    assert [p.pence for p in FeePayment.objects.all()] == [500, -500]


def test_two_phones_that_show_the_same_list_hand_a_prize_over_once(
    shared_world: Any, together: Any
) -> None:
    world = shared_world
    pool(world)
    weigh_all(world)
    confirm(world)
    (prize,) = settlement(Match.objects.get(pk=world.match.pk)).prizes

    def hand_over() -> int:
        return prize_hand_over(
            world.secretary,
            match=world.match,
            entry_id=prize.entry.pk,
            pence=prize.due,
            key=prize.key,
        ).pk

    assert len(set(together([hand_over] * AT_ONCE))) == 1
    assert PrizePaid.objects.get().pence == 2000
