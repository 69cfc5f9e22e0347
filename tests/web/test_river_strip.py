"""The river strip's geometry: rows a phone can show, one scale, and what its marks are called."""

from __future__ import annotations

from itertools import pairwise

from hypothesis import given
from hypothesis import strategies as st

from web.river_strip import (
    BANK,
    DEEP,
    MOST_LONG,
    MOST_PEGS,
    PEG_WIDE,
    StripPeg,
    river_strips,
    rows_even,
)
from web.templatetags.strip import strip_legend


def pegs(n: int, section: str = "A") -> list[StripPeg]:
    return [StripPeg(str(i), section) for i in range(1, n + 1)]


@given(st.integers(1, 200), st.sampled_from([MOST_PEGS, MOST_LONG]))
def test_rows_hold_every_peg_in_order_and_differ_by_one_at_most(n: int, most: int) -> None:
    rows = rows_even(pegs(n), most=most)
    assert [peg for row in rows for peg in row] == pegs(n)
    sizes = [len(row) for row in rows]
    assert max(sizes) <= most
    assert max(sizes) - min(sizes) <= 1
    assert len(rows) == -(-n // most)


def test_a_long_section_is_drawn_in_rows_that_say_which_pegs_they_are() -> None:
    strips = river_strips([*pegs(20), *pegs(5, "B")])
    assert [(s.section, s.part, len(s.nets)) for s in strips] == [
        ("A", "1–10", 10),
        ("A", "11–20", 10),
        ("B", "", 5),
    ]
    assert max(s.width for s in strips) <= PEG_WIDE * MOST_PEGS + 4


def test_long_numbers_stand_further_apart_in_rows_no_wider() -> None:
    strips = river_strips(pegs(200))
    assert {len(s.nets) for s in strips} == {MOST_LONG}
    # Three figures of bold type, as wide as they are drawn at most (measured).
    assert all(b.middle - a.middle > 26 for s in strips for a, b in pairwise(s.nets))
    assert max(s.width for s in strips) <= PEG_WIDE * MOST_PEGS + 4


@given(st.lists(st.none() | st.integers(0, 2_000_000), min_size=1, max_size=40))
def test_nets_hang_to_the_scale_of_the_heaviest(weights: list[int | None]) -> None:
    given_ = [
        StripPeg(str(n), "AB"[n % 2], angler="Maud Ferris", weight=w) for n, w in enumerate(weights)
    ]
    nets = {net.peg: net for strip in river_strips(given_) for net in strip.nets}
    heaviest = max((w or 0 for w in weights), default=0)
    for n, weight in enumerate(weights):
        net = nets[str(n)]
        assert net.state == ("wait" if weight is None else "caught" if weight else "blank")
        assert BANK < net.bottom <= BANK + 2 + DEEP
        assert net.best == bool(weight and weight == heaviest)
        if net.best:
            assert net.deep == DEEP


def test_the_bed_is_drawn_only_from_depths_that_are_known() -> None:
    known = [StripPeg("1", "A", depth_cm=100), StripPeg("2", "A"), StripPeg("3", "A", depth_cm=200)]
    [strip] = river_strips(known)
    foot, deep = BANK + DEEP + 12, BANK + DEEP - 8
    first, last = strip.nets[0].middle, strip.nets[2].middle
    half = BANK + 100 * (DEEP - 8) // 200
    assert strip.bed == f"M{first} {foot}L{first} {half}L{last} {deep}L{last} {foot}z"
    assert river_strips(known[:2])[0].bed == ""
    assert (
        river_strips([StripPeg("1", "A", depth_cm=0), StripPeg("2", "A", depth_cm=0)])[0].bed == ""
    )


def test_the_legend_says_each_mark_there_is_and_no_other() -> None:
    plain = strip_legend(river_strips(pegs(3)))
    assert plain == ["The water flows to the right."]
    marked = [
        StripPeg("1", "A", end=True, depth_cm=1),
        StripPeg("2", "A", status="out", depth_cm=2),
        StripPeg("3", "A", power_lines=True),
        StripPeg("4", "A", angler="Maud Ferris", weight=5),
        StripPeg("5", "A", angler="Perrin Stoat", weight=0),
        StripPeg("6", "A", angler="Wilmot Crane"),
        StripPeg("7", "A", angler="Odette Marl", status="absent"),
        StripPeg("8", "A", angler="Tamsin Rook", status="sits"),
    ]
    said = strip_legend(river_strips(marked))
    assert [words.split(":")[0] for words in said] == [
        "Solid",
        "In the float’s colour",
        "Dashed",
        "A line",
        "A cross in the water",
        "A float",
        "Struck through",
        "A ring",
        "A flash",
        "Below",
        "The water flows to the right.",
    ]
    assert strip_legend([]) == plain
