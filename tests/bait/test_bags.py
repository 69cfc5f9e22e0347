"""Every pack is given out or named as left over, and nobody gets what they did not ask for."""

from __future__ import annotations

from fractions import Fraction

from hypothesis import given, settings
from hypothesis import strategies as st

from bait.reckon.bags import (
    Bags,
    LeftOver,
    Piece,
    Source,
    Split,
    bags_pack,
    packing_place,
)
from tests.thorough import trials

Needs = dict[str, dict[str, Fraction]]


def want(**pints: str) -> Needs:
    return {member: {"caster": Fraction(amount)} for member, amount in pints.items()}


def packs(count: int, amount: str = "1", key: str = "pack:1") -> Source:
    return Source(key, "caster", Fraction(amount), count)


def test_whole_packs_come_first_and_the_rest_from_one_opened_pack() -> None:
    bags = bags_pack(want(maud="2.5", wilmot="6.5"), sources=[packs(9)])
    half = Fraction(1, 2)
    assert bags.pieces == (
        Piece("maud", "pack:1", "caster", 2, half, Fraction("2.5")),
        Piece("wilmot", "pack:1", "caster", 6, half, Fraction("6.5")),
    )
    assert bags.splits == (
        Split("pack:1", "caster", (("maud", half), ("wilmot", half)), Fraction(0)),
    )
    assert (bags.left_over, bags.lacking) == ((), ())


def test_what_nobody_needs_is_named() -> None:
    bags = bags_pack(want(maud="1.25"), sources=[packs(3)])
    assert bags.left_over == (LeftOver("pack:1", "caster", 1, Fraction("1.75")),)
    assert bags.splits[0].left == Fraction("0.75")


def test_a_pack_as_large_as_a_need_goes_to_that_need() -> None:
    bags = bags_pack(want(maud="3", wilmot="2"), sources=[packs(1, "2", "two"), packs(3)])
    assert bags.splits == ()
    assert [(p.member, p.source, p.whole) for p in bags.pieces] == [
        ("maud", "pack:1", 3),
        ("wilmot", "two", 1),
    ]


def test_ones_own_lot_goes_to_nobody_else() -> None:
    own = Source("lot:7", "caster", Fraction(2), member="maud")
    bags = bags_pack(want(maud="1", wilmot="1"), sources=[own, packs(1)])
    assert [(p.member, p.source) for p in bags.pieces] == [("maud", "lot:7"), ("wilmot", "pack:1")]
    assert bags.left_over == (LeftOver("lot:7", "caster", 0, Fraction(1)),)


def test_where_a_pack_did_not_come_all_go_without_in_proportion() -> None:
    bags = bags_pack(want(maud="1", wilmot="3"), sources=[packs(3)])
    assert [(p.member, p.amount) for p in bags.pieces] == [
        ("maud", Fraction("0.75")),
        ("wilmot", Fraction("2.25")),
    ]
    assert [(x.member, x.amount) for x in bags.lacking] == [
        ("maud", Fraction(1, 4)),
        ("wilmot", Fraction(3, 4)),
    ]


def test_what_needs_no_third_pack_opens_none() -> None:
    # 0.5 and 0.5 share a pack exactly; 0.75 has one of its own.
    bags = bags_pack(want(a="0.5", b="0.75", c="0.5"), sources=[packs(2)])
    assert [len(split.gives) for split in bags.splits] == [1, 2]


def test_live_bait_is_packed_last() -> None:
    kinds = [("animal", False), ("particle", False), ("animal", True), ("soil", False)]
    kinds += [("other", False), ("groundbait", False)]
    ordered = sorted(kinds, key=lambda kind: packing_place(kind[0], dead=kind[1]))
    assert ordered == [
        ("groundbait", False),
        ("soil", False),
        ("particle", False),
        ("other", False),
        ("animal", True),
        ("animal", False),
    ]


MEMBERS, BAITS = ("a", "b", "c", "d"), ("caster", "hemp")
amounts = st.fractions(0, 6, max_denominator=7)
needs_made = st.dictionaries(
    st.sampled_from(MEMBERS), st.dictionaries(st.sampled_from(BAITS), amounts, max_size=2)
)
sources_made = st.lists(
    st.tuples(
        st.sampled_from(BAITS),
        st.fractions(Fraction(1, 4), 5, max_denominator=5),
        st.integers(1, 5),
        st.sampled_from((None, None, None, *MEMBERS)),
    ),
    max_size=6,
).map(lambda rows: [Source(f"s{n}", b, a, c, m) for n, (b, a, c, m) in enumerate(rows)])


def _given(bags: Bags, source: str) -> Fraction:
    return sum((p.amount for p in bags.pieces if p.source == source), Fraction(0))


@settings(max_examples=trials(100, in_full=300), deadline=None)
@given(needs=needs_made, sources=sources_made)
def test_bags_keep_their_laws(needs: Needs, sources: list[Source]) -> None:
    bags = bags_pack(needs, sources=sources)
    left = {x.source: x.amount for x in bags.left_over}
    for source in sources:
        assert _given(bags, source.key) + left.get(source.key, 0) == source.amount * source.count
    lacking = {(x.member, x.bait): x.amount for x in bags.lacking}
    for member, mine in needs.items():
        for bait, need in mine.items():
            has = sum(
                (p.amount for p in bags.pieces if (p.member, p.bait) == (member, bait)), Fraction(0)
            )
            assert has + lacking.get((member, bait), 0) == need
    owner = {source.key: source.member for source in sources}
    for piece in bags.pieces:
        assert needs[piece.member][piece.bait] > 0
        assert owner[piece.source] in (None, piece.member)
        assert piece.amount > 0
    for bait in BAITS:
        shared = sum((s.amount * s.count for s in sources if s.bait == bait), Fraction(0))
        own = any(s.member for s in sources if s.bait == bait)
        asked = sum((mine.get(bait, Fraction(0)) for mine in needs.values()), Fraction(0))
        if not own and shared >= asked:
            assert not [x for x in bags.lacking if x.bait == bait]
    opened = [s for s in bags.splits if s.source in {p.key for p in sources if not p.member}]
    # Every give of an opened pack either ends a need or empties the pack.
    assert sum(len(s.gives) for s in opened) <= len(needs) * len(BAITS) + len(opened)
    assert bags == bags_pack(needs, sources=list(reversed(sources)))
