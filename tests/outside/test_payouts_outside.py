"""Tied prizes against a published example.

Source: Oregon Scholastic Chess Federation, "All Stars Awards & Ties" (on its public pages):
in a section of 12 or more the prizes are 45, 40, 30, 20 and 15. Two tie for first and have 42.50
each, the third has 30, and three tie for fourth and fifth and share 35: the page says 11.67 each,
which is a penny more than there is, so that the last of ours has 11.66. That anglers' clubs share
in the same way is common practice, no source.
"""

from __future__ import annotations

from matches.reckon.payouts import FramePrize, PayoutsRequest, PoolEntry, payouts_work_out

PRIZES = (4500, 4000, 3000, 2000, 1500)
SCORES = {"a": 40, "b": 40, "c": 35, "d": 30, "e": 30, "f": 30, "g": 25}


def test_who_ties_shares_the_prizes_of_the_places_they_fill() -> None:
    frame = tuple(FramePrize(place, amount=pence) for place, pence in enumerate(PRIZES, 1))
    entries = tuple(PoolEntry(who, None, score) for who, score in SCORES.items())
    answer = payouts_work_out(PayoutsRequest(sum(PRIZES), entries, frame))
    assert answer.totals == {"a": 4250, "b": 4250, "c": 3000, "d": 1167, "e": 1167, "f": 1166}
    assert answer.unallocated == 0
    assert [(p.prizes, p.equals) for p in answer.payments if p.angler == "d"] == [
        (((4, 2000), (5, 1500)), 3)
    ]
