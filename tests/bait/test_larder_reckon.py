"""Which lot serves which need, worked by hand; and the laws that hold for any larder."""

from __future__ import annotations

import datetime as dt
from fractions import Fraction
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from bait.reckon.larder import (
    KEEPS_DAYS,
    Lot,
    Need,
    Taken,
    lot_serves,
    lots_take,
    needs_by_use,
    use_by_default,
)
from bait.reckon.plans import BaitTotal, amount_text
from matches.reckon.errors import BadInput

DAY = dt.date(2026, 6, 20)
ALL = frozenset({"hook", "feed", "mix"})
MIX = frozenset({"mix"})


def lot(id: int, amount: str = "1", **changes: Any) -> Lot:
    kept = {
        "bait": "caster",
        "member": None,
        "unit": "pint",
        "bait_unit": "pint",
        "serves": ALL,
    }
    return Lot(**{"id": id, "amount": Fraction(amount), **kept, **changes})


def need(member: str, amount: str, use: str = "feed", bait: str = "caster") -> Need:
    return Need(member, bait, use, Fraction(amount))


def given_of(taken: tuple[Taken, ...]) -> list[tuple[int, str, str]]:
    return [(t.lot, t.member, amount_text(t.amount)) for t in taken]


def test_the_oldest_goes_first_and_what_keeps_goes_last() -> None:
    lots = [
        lot(1),
        lot(2, use_by=DAY + dt.timedelta(days=9)),
        lot(3, use_by=DAY + dt.timedelta(days=2), bought_on=DAY - dt.timedelta(days=1)),
        lot(4, use_by=DAY + dt.timedelta(days=2), bought_on=DAY - dt.timedelta(days=4)),
        lot(5, use_by=DAY + dt.timedelta(days=2), bought_on=DAY - dt.timedelta(days=4)),
    ]
    order = []
    for wanted in ("1", "2", "3", "4", "5"):
        order.append(len(given_of(lots_take([need("a", wanted)], lots=lots, on=DAY))))
    assert order == [1, 2, 3, 4, 5]
    for wanted, last in (("1", 4), ("2", 5), ("3", 3), ("4", 2), ("5", 1)):
        taken = {t.lot for t in lots_take([need("a", wanted)], lots=lots, on=DAY)}
        fewer = (
            {t.lot for t in lots_take([need("a", str(int(wanted) - 1))], lots=lots, on=DAY)}
            if wanted != "1"
            else set()
        )
        assert taken - fewer == {last}


def test_ones_own_goes_before_the_teams_and_never_to_another() -> None:
    lots = [lot(1, "1", use_by=DAY), lot(2, "2", member="a"), lot(3, "5", member="b")]
    taken = lots_take([need("a", "2.5"), need("c", "1")], lots=lots, on=DAY)
    assert given_of(taken) == [(1, "c", "1"), (2, "a", "2")]


def test_out_of_date_serves_nothing_and_the_last_day_still_counts() -> None:
    lots = [lot(1, use_by=DAY - dt.timedelta(days=1)), lot(2, use_by=DAY)]
    assert given_of(lots_take([need("a", "2")], lots=lots, on=DAY)) == [(2, "a", "1")]


def test_frozen_never_goes_on_a_hook_and_fresh_is_kept_for_it() -> None:
    """The older fresh pint goes to the hook first, so that the frozen one is of use too."""
    lots = [lot(1, use_by=DAY), lot(2, serves=MIX)]
    needs = [need("a", "0.75", "hook"), need("a", "1", "mix")]
    assert given_of(lots_take(needs, lots=lots, on=DAY)) == [(1, "a", "1"), (2, "a", "0.75")]
    assert lots_take([need("a", "1", "hook")], lots=[lot(2, serves=MIX)], on=DAY) == ()


def test_no_more_is_taken_than_was_counted_on() -> None:
    lots = [lot(1, "2"), lot(2, "2", member="a"), lot(3, "3", unit="L")]
    at_most = {("caster", None): Fraction("2.5"), ("caster", "a"): Fraction("0.5")}
    taken = lots_take([need("a", "9"), need("b", "9")], lots=lots, on=DAY, at_most=at_most)
    assert given_of(taken) == [(1, "b", "2"), (2, "a", "0.5"), (3, "a", "0.2842")]
    assert lots_take([need("a", "9")], lots=lots, on=DAY, at_most={}) == ()


@pytest.mark.parametrize(
    ("state", "kind", "dead", "serves"),
    [
        ("fresh", "animal", False, ALL),
        ("frozen", "animal", False, MIX),  # planned alive, it would be fed dead
        ("frozen", "animal", True, MIX | {"feed"}),
        ("frozen", "particle", False, MIX | {"feed"}),
        ("cooked", "particle", False, ALL),
        ("dry", "groundbait", False, ALL),
    ],
)
def test_what_each_state_is_good_for(
    state: str, kind: str, dead: bool, serves: frozenset[str]
) -> None:
    assert lot_serves(state, kind=kind, dead=dead) == serves


def test_litres_serve_pints_to_the_ten_thousandth_and_never_short() -> None:
    """1 pint is 0.56826125 L: 0.5683 L are taken, and cover the pint exactly."""
    (taken,) = lots_take([need("a", "1")], lots=[lot(1, "2", unit="L")], on=DAY)
    assert (taken.amount, taken.covers) == (Fraction("0.5683"), Fraction(1))


def test_kilograms_serve_litres_only_with_a_density() -> None:
    mix = {"bait": "mix", "unit": "kg", "bait_unit": "L"}
    heavy = lot(1, "3", density=Fraction("0.5"), **mix)
    (taken,) = lots_take([need("a", "4", bait="mix")], lots=[heavy], on=DAY)
    assert (taken.amount, taken.covers) == (Fraction(2), Fraction(4))
    with pytest.raises(BadInput) as refused:
        lots_take([need("a", "4", bait="mix")], lots=[lot(1, "3", **mix)], on=DAY)
    assert refused.value.faults[0].pointer == "/lots/0/unit"


def test_needs_are_the_total_as_it_is_ordered_split_by_use() -> None:
    third = Fraction(1, 3)
    total = BaitTotal("caster", "pint", third, third, {"hook": third / 2, "mix": third / 2})
    needs = needs_by_use("a", totals=[total])
    assert {(n.use, n.amount) for n in needs} == {
        ("hook", Fraction("0.1667")),
        ("mix", Fraction("0.1667")),
    }
    assert amount_text(sum((n.amount for n in needs), Fraction(0))) == amount_text(third)


@pytest.mark.parametrize(
    ("state", "kind", "days"),
    [("fresh", "animal", 7), ("cooked", "particle", 3), ("frozen", "animal", 90)],
)
def test_bait_is_counted_on_for_its_usual_days(state: str, kind: str, days: int) -> None:
    assert KEEPS_DAYS[state] == days
    assert use_by_default(state, kind=kind, since=DAY) == DAY + dt.timedelta(days=days)


def test_soil_keeps() -> None:
    assert use_by_default("dry", kind="soil", since=DAY) is None


amounts = st.integers(min_value=1, max_value=60_000).map(lambda n: Fraction(n, 10_000))
members = st.sampled_from("abc")
serving = st.sampled_from([ALL, MIX, MIX | {"feed"}])
needs_any = st.lists(
    st.builds(
        Need, member=members, bait=st.just("caster"), use=st.sampled_from(sorted(ALL)),
        amount=amounts,
    ),
    max_size=6,
)  # fmt: skip
lots_any = st.lists(
    st.builds(
        lot,
        id=st.just(0),
        member=st.sampled_from([None, "a", "b"]),
        unit=st.sampled_from(["pint", "L", "kg"]),
        density=st.just(Fraction("0.6")),
        serves=serving,
        use_by=st.sampled_from([None, DAY - dt.timedelta(days=1), DAY, DAY + dt.timedelta(days=5)]),
    ).flatmap(lambda one: amounts.map(lambda a: (one, a))),
    max_size=6,
).map(
    lambda rows: [
        lot(n, amount_text(a), member=one.member, unit=one.unit, density=one.density,
            serves=one.serves, use_by=one.use_by)
        for n, (one, a) in enumerate(rows)
    ]
)  # fmt: skip


@given(needs=needs_any, lots=lots_any)
def test_nobody_takes_what_is_not_there_not_theirs_not_good_or_not_asked(
    needs: list[Need], lots: list[Lot]
) -> None:
    taken = lots_take(needs, lots=lots, on=DAY)
    by_id = {one.id: one for one in lots}
    for one in lots:
        out = [t for t in taken if t.lot == one.id]
        assert sum((t.amount for t in out), Fraction(0)) <= one.amount
        assert all(one.member in (None, t.member) for t in out)
        assert not out or one.use_by is None or one.use_by >= DAY
    for t in taken:
        assert (t.amount * 10_000).denominator == 1 and t.amount > 0
    for member in "abc":
        for uses in ({"hook"}, {"hook", "feed"}, ALL):
            asked = sum((n.amount for n in needs if n.member == member), Fraction(0))
            good = [t for t in taken if t.member == member and by_id[t.lot].serves <= uses]
            assert sum((t.covers for t in good), Fraction(0)) <= asked
        unhooked = sum(
            (n.amount for n in needs if n.member == member and n.use != "hook"), Fraction(0)
        )
        frozen = [t for t in taken if t.member == member and "hook" not in by_id[t.lot].serves]
        assert sum((t.covers for t in frozen), Fraction(0)) <= unhooked


@given(needs=needs_any, lots=lots_any)
def test_no_assignment_covers_more_of_pints_than_oldest_first(
    needs: list[Need], lots: list[Lot]
) -> None:
    """Against a linear programme: needs and lots as a transport problem, all in pints."""
    from scipy.optimize import linprog

    lots = [
        lot(o.id, amount_text(o.amount), serves=o.serves, use_by=o.use_by)
        for o in lots
        if o.use_by is None or o.use_by >= DAY
    ]
    pairs = [
        (n, at) for n in range(len(needs)) for at, o in enumerate(lots) if needs[n].use in o.serves
    ]
    covered = sum((t.covers for t in lots_take(needs, lots=lots, on=DAY)), Fraction(0))
    if not pairs:
        assert covered == 0
        return
    rows = [[float(n == i) for n, _ in pairs] for i in range(len(needs))]
    rows += [[float(at == i) for _, at in pairs] for i in range(len(lots))]
    most = [float(n.amount) for n in needs] + [float(o.amount) for o in lots]
    best = linprog([-1.0] * len(pairs), A_ub=rows, b_ub=most)
    assert float(covered) == pytest.approx(-best.fun, abs=1e-6)
