"""Pegs cut into sections: even runs, typed ranges, moved boundaries, end pegs, power lines."""

from __future__ import annotations

from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from matches.reckon.errors import BadInput
from matches.reckon.peg_ranges import ranges_text, sections_read
from matches.reckon.sections import (
    BankPeg,
    SectionRun,
    banks_walked,
    boundary_move,
    boundary_to,
    end_pegs,
    pegs_near_lines,
    runs_even,
    section_label,
)


def bank(n: int, *, side: str = "", first: int = 1) -> list[BankPeg]:
    return [BankPeg(str(i), side) for i in range(first, first + n)]


def walk_of(pegs: list[BankPeg]) -> list[str]:
    return [peg.number for bank in banks_walked(pegs) for peg in bank]


def refusal(act: object, *args: object, **named: object) -> str:
    with pytest.raises(BadInput) as caught:
        act(*args, **named)  # type: ignore[operator]
    return "; ".join(f"{f.pointer} {f.message}" for f in caught.value.faults)


SIDES = st.sampled_from(["left", "right", ""])
BANKS = st.lists(SIDES, min_size=2, max_size=60).map(
    lambda sides: [BankPeg(str(n), side) for n, side in enumerate(sides, 1)]
)


@st.composite
def banks_and_counts(draw: st.DrawFn) -> tuple[list[BankPeg], int]:
    pegs = draw(BANKS)
    return pegs, draw(st.integers(1, len(pegs) // 2))


# Even runs -----------------------------------------------------------------------------------


@given(banks_and_counts())
def test_even_runs_hold_every_peg_once_in_order_and_differ_by_one_at_most(
    given_: tuple[list[BankPeg], int],
) -> None:
    pegs, sections = given_
    runs = runs_even(pegs, sections=sections)
    sizes = [len(run.pegs) for run in runs]
    assert [peg for run in runs for peg in run.pegs] == walk_of(pegs)
    assert len(sizes) == sections
    assert max(sizes) - min(sizes) <= 1
    assert min(sizes) >= 2
    assert [run.label for run in runs] == [section_label(n) for n in range(sections)]


@given(banks_and_counts())
def test_a_run_crosses_the_river_only_where_even_sizes_leave_no_other_way(
    given_: tuple[list[BankPeg], int],
) -> None:
    pegs, sections = given_
    first = {peg.number for peg in banks_walked(pegs)[0]}
    runs = runs_even(pegs, sections=sections)
    crossing = [run for run in runs if 0 < len(first & {*run.pegs}) < len(run.pegs)]
    small, larger = divmod(len(pegs), sections)
    fits = any(
        here * small + extra == len(first)
        for here in range(sections + 1)
        for extra in range(larger + 1)
        if extra <= here and larger - extra <= sections - here
    )
    assert len(crossing) == (0 if fits else 1)


def test_twelve_and_thirteen_pegs_of_two_banks_keep_apart() -> None:
    pegs = [*bank(12, side="left"), *bank(13, side="right", first=13)]
    runs = runs_even(pegs, sections=4)
    assert [len(run.pegs) for run in runs] == [6, 6, 7, 6]
    assert runs[2].pegs == tuple(str(n) for n in range(13, 20))


def test_pegs_numbered_across_the_river_are_walked_bank_by_bank() -> None:
    pegs = [BankPeg(str(n), "right" if n % 2 else "left") for n in range(1, 9)]
    assert walk_of(pegs) == ["1", "3", "5", "7", "2", "4", "6", "8"]


def test_a_peg_of_no_said_side_stays_with_the_peg_before_it() -> None:
    pegs = [BankPeg("1"), BankPeg("2", "left"), BankPeg("3"), BankPeg("4", "right"), BankPeg("5")]
    assert walk_of(pegs) == ["1", "2", "3", "4", "5"]
    assert len(banks_walked(pegs)) == 2


@pytest.mark.parametrize(
    ("pegs", "sections", "said"),
    [
        (5, 3, "5 pegs make 1 to 2 sections"),
        (5, 0, "5 pegs make 1 to 2 sections"),
        (5, -1, "5 pegs make 1 to 2 sections"),
        (1, 1, "not two pegs"),
        (0, 1, "not two pegs"),
    ],
)
def test_more_sections_than_pairs_of_pegs_are_refused(pegs: int, sections: int, said: str) -> None:
    assert said in refusal(runs_even, bank(pegs), sections=sections)


@pytest.mark.parametrize(
    ("n", "label"), [(0, "A"), (25, "Z"), (26, "AA"), (27, "AB"), (701, "ZZ"), (702, "AAA")]
)
def test_labels_go_on_after_z(n: int, label: str) -> None:
    assert section_label(n) == label


# Boundaries ----------------------------------------------------------------------------------


@given(banks_and_counts(), st.integers(0, 30), st.booleans())
def test_a_boundary_moved_there_and_back_is_where_it_was(
    given_: tuple[list[BankPeg], int], after: int, downstream: bool
) -> None:
    pegs, sections = given_
    runs = runs_even(pegs, sections=sections)
    try:
        moved = boundary_move(runs, after=after, downstream=downstream)
    except BadInput:
        giver = after + 1 if downstream else after
        assert after >= sections - 1 or len(runs[giver].pegs) == 2
        return
    assert [peg for run in moved for peg in run.pegs] == walk_of(pegs)
    assert abs(len(moved[after].pegs) - len(runs[after].pegs)) == 1
    assert boundary_move(moved, after=after, downstream=not downstream) == runs


def test_a_boundary_moves_one_peg_and_never_leaves_a_section_of_one() -> None:
    runs = (SectionRun("A", ("1", "2", "3")), SectionRun("B", ("4", "5")))
    up = boundary_move(runs, after=0, downstream=False)
    assert [run.pegs for run in up] == [("1", "2"), ("3", "4", "5")]
    assert "Section B would be left with fewer than two pegs" in refusal(
        boundary_move, runs, after=0, downstream=True
    )
    assert "Section A would be left" in refusal(boundary_move, up, after=0, downstream=False)
    assert "no boundary" in refusal(boundary_move, runs, after=1, downstream=True)


@pytest.mark.parametrize(
    ("peg", "sizes"),
    [("2", [2, 10, 6]), ("8", [7, 5, 6]), ("7", [6, 6, 6]), ("10", [6, 4, 8]), ("17", [6, 10, 2])],
)
def test_the_nearer_end_of_a_section_moves_to_a_peg(peg: str, sizes: list[int]) -> None:
    runs = runs_even(bank(18), sections=3)
    assert [len(run.pegs) for run in boundary_to(runs, peg=peg)] == sizes


def test_no_boundary_moves_to_a_peg_where_it_would_leave_too_little() -> None:
    runs = runs_even(bank(12), sections=2)
    assert "Section A would be left with fewer than two" in refusal(boundary_to, runs, peg="1")
    assert "Section B would be left" in refusal(boundary_to, runs, peg="12")
    assert "/to This peg is in no section" in refusal(boundary_to, runs, peg="99")
    assert "/to There is one section" in refusal(
        boundary_to, runs_even(bank(4), sections=1), peg="2"
    )


@given(banks_and_counts(), st.data())
def test_a_boundary_moved_to_a_peg_makes_it_an_end_of_its_section(
    given_: tuple[list[BankPeg], int], data: st.DataObject
) -> None:
    pegs, sections = given_
    runs = runs_even(pegs, sections=sections)
    peg = data.draw(st.sampled_from(walk_of(pegs)))
    try:
        moved = boundary_to(runs, peg=peg)
    except BadInput:
        return
    assert [p for run in moved for p in run.pegs] == walk_of(pegs)
    assert peg in {end for run in moved for end in (run.pegs[0], run.pegs[-1])}
    assert min(len(run.pegs) for run in moved) >= 2


# Ends and lines ------------------------------------------------------------------------------


def test_end_pegs_have_a_side_without_a_neighbour() -> None:
    pegs = [*bank(5, side="left"), *bank(4, side="right", first=6)]
    everybody = {str(n) for n in range(1, 10)}
    assert end_pegs(pegs, fished=everybody) == {"1", "5", "6", "9"}
    assert end_pegs(pegs, fished=everybody - {"3"}) == {"1", "2", "4", "5", "6", "9"}
    assert end_pegs(pegs, fished={"2"}) == {"2"}
    assert end_pegs(pegs, fished=()) == set()


@given(BANKS, st.data())
def test_a_peg_that_is_no_end_has_both_its_neighbours_fished(
    pegs: list[BankPeg], data: st.DataObject
) -> None:
    fished = data.draw(st.sets(st.sampled_from([peg.number for peg in pegs])))
    ends = end_pegs(pegs, fished=fished)
    assert ends <= fished
    for numbers in ([peg.number for peg in bank] for bank in banks_walked(pegs)):
        inner = {b for (a, b), (_, c) in pairwise(pairwise(numbers)) if {a, b, c} <= fished}
        assert fished & {*numbers} - ends == inner


def test_pegs_within_25_metres_of_marked_lines_are_near_them_on_both_banks() -> None:
    pegs = [
        BankPeg("1", "left", 0),
        BankPeg("2", "left", 35),
        BankPeg("3", "left", 60, power_lines=True),
        BankPeg("4", "left", 85),
        BankPeg("5", "left", 86),
        BankPeg("6", "right", 40),
        BankPeg("7", "right", None),
        BankPeg("8", "right", None, power_lines=True),
    ]
    assert pegs_near_lines(pegs) == ("2", "3", "4", "6", "8")
    assert pegs_near_lines(pegs, within_m=0) == ("3", "8")
    assert pegs_near_lines(bank(5)) == ()


# Typed ranges --------------------------------------------------------------------------------

WALK = [str(n) for n in range(1, 11)] + ["10a", "11"]


def read(*rows: tuple[str, str], left_out: tuple[str, ...] = ()) -> list[tuple[str, ...]]:
    return [run.pegs for run in sections_read(rows, walk=WALK, left_out=left_out)]


def refused(*rows: tuple[str, str], left_out: tuple[str, ...] = ()) -> str:
    return refusal(sections_read, rows, walk=WALK, left_out=left_out)


def test_ranges_and_single_pegs_are_read_in_any_order() -> None:
    assert read(("A", "1-3, 5"), ("B", "11 10a;4")) == [("1", "2", "3", "5"), ("4", "10a", "11")]
    assert read(("A", "10 – 11"), ("B", "1—2")) == [("10", "10a", "11"), ("1", "2")]


def test_a_range_skips_what_is_left_out_but_a_peg_named_by_itself_does_not() -> None:
    assert read(("A", "1-4"), left_out=("2",)) == [("1", "3", "4")]
    assert "/0/pegs Peg 2 is left out" in refused(("A", "1, 2, 3"), left_out=("2",))
    assert "/0/pegs No peg of these is fished" in refused(("A", "1-2"), left_out=("1", "2"))


def test_a_row_without_pegs_is_no_section() -> None:
    assert read(("A", "1-4"), ("B", " ")) == [("1", "2", "3", "4")]
    assert "at least one section" in refused(("A", ""), ("B", ""))


@pytest.mark.parametrize(
    ("rows", "said"),
    [
        ([("A", "1-4"), ("B", "4-6")], "/1/pegs Peg 4 is in section A already"),
        ([("A", "1-4"), ("B", "5")], "/1/pegs One peg is no section"),
        ([("A", "1-4"), ("A", "5-6")], "/1/label Another section has this name"),
        ([("", "1-4")], "/0/label Name the section"),
        ([("ABCDEFGHI", "1-4")], "/0/label Name the section"),
        ([("\0", "1-4")], "/0/label Name the section"),
        ([("A", "1-99")], "/0/pegs There is no peg “1-99” here"),
        ([("A", "x")], "/0/pegs There is no peg “x” here"),
        ([("A", "4-1")], "/0/pegs Write the range downstream: 1-4."),
        ([("A", ", ;")], "/0/pegs No peg of these"),
        ([("A", "1 " * 3000)], "/0/pegs This is too long"),
    ],
)
def test_each_wrong_row_is_refused_at_its_field(rows: list[tuple[str, str]], said: str) -> None:
    assert said in refused(*rows)


def test_every_wrong_row_is_told_at_once() -> None:
    said = refused(("A", "1-4"), ("A", "4-6, 99"), ("C", "5"))
    assert [part.split()[0] for part in said.split("; ")] == [
        "/1/pegs",
        "/1/label",
        "/2/pegs",
        "/2/pegs",
    ]


def test_pegs_are_written_as_ranges_over_what_is_left_out() -> None:
    assert ranges_text({"1", "2", "3", "5", "7", "8"}, walk=WALK, left_out={"4"}) == "1-5, 7, 8"
    assert ranges_text({"1", "2", "3"}, walk=["1", "2", "3", "1-3"], left_out=()) == "1, 2, 3"
    assert ranges_text((), walk=WALK, left_out=()) == ""


@given(st.data())
def test_ranges_written_are_read_as_the_same_pegs(data: st.DataObject) -> None:
    names = st.text("123a", min_size=1, max_size=3)
    walk = data.draw(st.lists(names, min_size=2, max_size=20, unique=True))
    left_out = data.draw(st.sets(st.sampled_from(walk), max_size=len(walk) - 2))
    fished = [peg for peg in walk if peg not in left_out]
    pegs = data.draw(st.sets(st.sampled_from(fished), min_size=2))
    text = ranges_text(pegs, walk=walk, left_out=left_out)
    [run] = sections_read([("A", text)], walk=walk, left_out=left_out)
    assert set(run.pegs) == pegs
