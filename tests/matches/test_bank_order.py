"""The order along a bank when a list of some of its pegs comes in."""

from __future__ import annotations

from hypothesis import given
from hypothesis import strategies as st

from matches.reckon.bank_order import order_merged

PEGS = st.lists(st.text("123ab", min_size=1, max_size=3), unique=True, max_size=12)


@given(PEGS, st.data())
def test_a_list_in_the_order_they_have_changes_nothing(now: list[str], data: st.DataObject) -> None:
    kept = data.draw(st.sets(st.sampled_from(now))) if now else set()
    listed = [peg for peg in now if peg in kept]
    assert order_merged(now, listed=listed) == tuple(now)


@given(PEGS, PEGS)
def test_every_peg_stays_once_and_the_list_keeps_its_order(
    now: list[str], listed: list[str]
) -> None:
    merged = order_merged(now, listed=listed)
    assert sorted(merged) == sorted({*now, *listed})
    assert [peg for peg in merged if peg in listed] == listed
    assert order_merged(merged, listed=listed) == merged


def test_a_peg_that_is_not_listed_stays_behind_the_one_it_was_behind() -> None:
    now = ["0", "1", "1a", "2", "2a", "3"]
    assert order_merged(now, listed=["2", "9", "1", "3"]) == (
        "0",
        "2",
        "2a",
        "9",
        "1",
        "1a",
        "3",
    )
