"""The invented match's money: three pools, everybody paid, every prize handed over."""

from __future__ import annotations

import datetime as dt

from matches.models import Pool
from matches.reads.prizes import settlement
from web.demo.load import demo_load


def test_the_finished_match_has_its_pools_settled_to_the_penny(db: None) -> None:
    finished = demo_load(today=dt.date(2026, 6, 17)).finished
    settled = settlement(finished)
    frame, chosen, fish = settled.pools
    assert settled.confirmed and settled.bulletin is not None
    assert (frame.account.holds, frame.account.pool.section_by_default) == (36_000, True)
    assert {w.payment.section for w in frame.won} == {"", "A", "B", "C"}
    assert chosen.account.pool.opt_in and len(chosen.account.is_in) == 12
    assert fish.won and all(p.paid for p in settled.pools)
    assert all(p.to_hand_over == p.to_ask_back == 0 for p in settled.prizes)
    tin = settled.tin
    assert (tin.fees, tin.owed, tin.to_hand_over, tin.undecided) == (7200, 0, 0, 0)
    assert tin.comes_in == tin.goes_out
    assert tin.lies_in == tin.fees_kept + tin.unallocated
    assert demo_load(today=dt.date(2026, 6, 17)).finished == finished
    assert Pool.objects.count() == 3
