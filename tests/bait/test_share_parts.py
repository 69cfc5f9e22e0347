"""What a share consists of adds up to the share, to the penny."""

from __future__ import annotations

from fractions import Fraction

from hypothesis import given, settings
from hypothesis import strategies as st

from bait.reckon.order.shares import (
    DELIVERY,
    GOODS,
    MOVED,
    Bill,
    SharePart,
    shares_break_down,
    shares_work_out,
)
from tests.thorough import trials

MEMBERS, BAITS, SHOPS = ("a", "b", "c", "d"), ("caster", "hemp", "leam"), ("hut", "reel")
amounts = st.integers(0, 12).map(lambda n: Fraction(n, 4))
bills_made = st.lists(
    st.tuples(st.sampled_from(SHOPS), st.sampled_from(BAITS), st.integers(0, 5000)),
    max_size=6,
)


def test_goods_and_delivery_are_named_apart() -> None:
    needs = {"a": {"hemp": Fraction(1)}, "b": {"hemp": Fraction(2)}}
    parts = shares_break_down(
        [Bill("hut", "hemp", 450, "p1")], delivery={"hut": 400}, needs=needs, alone={}
    )
    # Due 2.83 and 5.67; goods 1.50 and 3.00, delivery 1.33 1/3 and 2.66 2/3.
    assert parts == {
        "a": (SharePart(GOODS, 150, "hut", "hemp", "p1"), SharePart(DELIVERY, 133, "hut")),
        "b": (SharePart(GOODS, 300, "hut", "hemp", "p1"), SharePart(DELIVERY, 267, "hut")),
    }


def test_what_holds_somebody_to_their_cost_alone_is_a_part_of_its_own() -> None:
    needs = {"a": {"hemp": Fraction(1)}, "b": {"hemp": Fraction(1)}}
    parts = shares_break_down(
        [Bill("hut", "hemp", 1000, "p")], delivery={}, needs=needs, alone={"a": 400, "b": 900}
    )
    assert parts["a"] == (SharePart(GOODS, 500, "hut", "hemp", "p"), SharePart(MOVED, -100))
    assert parts["b"] == (SharePart(GOODS, 500, "hut", "hemp", "p"), SharePart(MOVED, 100))


def test_a_pack_bought_that_nobody_needs_any_more_is_borne_evenly() -> None:
    needs = {"a": {"hemp": Fraction(1)}, "b": {"hemp": Fraction(3)}}
    shares = shares_work_out([Bill("hut", "leam", 300, "p")], delivery={}, needs=needs, alone={})
    assert [share.due for share in shares] == [150, 150]


@settings(max_examples=trials(66, in_full=200), deadline=None)
@given(
    bills=bills_made,
    needs=st.fixed_dictionaries(
        {m: st.fixed_dictionaries(dict.fromkeys(BAITS, amounts)) for m in MEMBERS}
    ),
    fees=st.fixed_dictionaries({s: st.integers(0, 900) for s in SHOPS}),
    alone=st.fixed_dictionaries({m: st.none() | st.integers(0, 8000) for m in MEMBERS}),
)
def test_parts_add_up_to_each_due_and_dues_to_the_whole(
    bills: list[tuple[str, str, int]],
    needs: dict[str, dict[str, Fraction]],
    fees: dict[str, int],
    alone: dict[str, int | None],
) -> None:
    lines = [Bill(s, b, cost, f"p{n}") for n, (s, b, cost) in enumerate(bills)]
    shares = shares_work_out(lines, delivery=fees, needs=needs, alone=alone)
    parts = shares_break_down(lines, delivery=fees, needs=needs, alone=alone)
    assert {s.member: s.due for s in shares} == {
        m: sum(part.pence for part in mine) for m, mine in parts.items()
    }
    used = {s for s, _b, _c in bills}
    whole = sum(cost for _s, _b, cost in bills) + sum(fees[s] for s in used)
    assert sum(share.due for share in shares) == whole
    assert all(p.pence > 0 or p.kind == MOVED for mine in parts.values() for p in mine)
