"""Placings against published examples and other people's rankings."""

from __future__ import annotations

from fractions import Fraction

import numpy as np
import pandas as pd
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.stats import rankdata

from matches.reckon.counting import NetRules
from matches.reckon.placings import (
    Entry,
    PlacingsRequest,
    Scheme,
    Section,
    placings_work_out,
)

WEIGHTS = st.lists(st.one_of(st.just(0), st.integers(0, 9), st.integers(0, 90_000)), max_size=40)


def places(weights: list[int], *, scheme: Scheme | None = None) -> list[Fraction]:
    """Places of anglers in one section, in the order of `weights`."""
    entries = tuple(Entry(f"{i:03d}", None, w) for i, w in enumerate(weights))
    request = PlacingsRequest((Section("A", entries),), scheme=scheme or Scheme())
    placed = {p.angler: p.place for p in placings_work_out(request).placings}
    return [placed[entry.angler] for entry in entries]


def distinct(many: int) -> list[int]:
    """So many different weights, the heaviest first."""
    return [100 * n for n in range(many, 0, -1)]


# Source: international float rule, art. 33 of the international coarse text in translation; the
# same in the Polish federation's points rule and in the Russian state rules, art. 5.39.
@pytest.mark.parametrize(
    ("weights", "tied", "place", "following"),
    [
        ([900, 800, 700, 600, 500, 500, 400], slice(4, 6), 5.5, 7),
        ([*distinct(7), 50, 50, 50, 40], slice(7, 10), 9, 11),
        ([*distinct(6), 50, 50, 40], slice(6, 8), 7.5, 9),
    ],
    ids=["two tied fifth", "three tied eighth", "two tied seventh"],
)
def test_published_ties_share_their_places(
    weights: list[int], tied: slice, place: float, following: int
) -> None:
    got = places(weights)
    assert set(got[tied]) == {Fraction(place)}
    assert got[tied.stop] == following


# Source: the same rule's examples of sections of N in which some weighed nothing.
@pytest.mark.parametrize(
    ("size", "caught", "blank"),
    [
        (24, 12, 18.5),
        (29, 5, 17.5),
        (29, 26, 28),
        (25, 11, 18.5),
        (33, 6, 20),
        (33, 30, 32),
        (33, 32, 33),
        (30, 19, 25),
    ],
)
def test_published_blanks_share_the_places_left(size: int, caught: int, blank: float) -> None:
    got = places(distinct(caught) + [0] * (size - caught))
    assert got[:caught] == list(range(1, caught + 1))
    assert set(got[caught:]) == {Fraction(blank)}


def test_published_section_of_twelve() -> None:
    # Source: computed from the same rule, and equal to scipy's average ranks.
    got = places([4210, 3980, 3980, 2550, 1200, 1200, 1200, 640, 0, 0, 0, 0])
    expected = ["1", "2.5", "2.5", "4", "6", "6", "6", "8", *["10.5"] * 4]
    assert got == [Fraction(place) for place in expected]
    assert sum(got) == 78


def test_absent_in_a_sector_of_ten_gets_eleven() -> None:
    # Source: an event under international rules (secondary).
    entries = (*(Entry(str(n), None, 100 + n) for n in range(9)), Entry("gone", None, 0, "absent"))
    worked = placings_work_out(PlacingsRequest((Section("A", entries),)))
    assert {p.angler: p.place for p in worked.placings}["gone"] == 11


def test_club_variant_blank_21_absent_22_of_20() -> None:
    # Source: a club's rules (secondary): 20 fished for, 10 with fish, against 15.5 internationally.
    entries = (
        *(Entry(f"c{n}", None, 100 + n) for n in range(10)),
        *(Entry(f"b{n}", None, 0) for n in range(9)),
        Entry("gone", None, 0, "absent"),
    )
    club = Scheme(blank="size_plus_one", absent="size_plus_two")
    for scheme, blank, absent in ((club, 21, 22), (Scheme(), Fraction("15.5"), 21)):
        worked = placings_work_out(PlacingsRequest((Section("A", entries),), scheme=scheme))
        placed = {p.angler: p.place for p in worked.placings}
        assert (placed["b0"], placed["gone"]) == (blank, absent)


def test_teams_level_on_17_and_a_half_go_by_weight() -> None:
    # Source: published team rule (lowest sum, then greater team weight; secondary), with the
    # places 3, 5.5, 1, 8 and 2, 4, 6.5, 5 and the weights 14,320 g and 15,010 g.
    sections = tuple(
        Section(str(n), tuple(Entry(f"{n}{i}", team, w) for i, (team, w) in enumerate(rows)))
        for n, rows in enumerate(
            [
                [(None, 6000), ("b", 5000), ("a", 4000)],
                [*_others(9000, 8000, 7000), ("b", 4010), ("a", 3000), (None, 3000)],
                [("a", 6000), *_others(5000, 4800, 4600, 4400), ("b", 2900), (None, 2900)],
                [*_others(9000, 8000, 7000, 6000), ("b", 3100), *_others(2000, 1900), ("a", 1320)],
            ]
        )
    )
    teams = placings_work_out(PlacingsRequest(sections)).teams
    assert [(t.team, t.points, t.weight, t.rank) for t in teams] == [
        ("b", Fraction("17.5"), 15_010, 1),
        ("a", Fraction("17.5"), 14_320, 2),
    ]


def _others(*weights: int) -> list[tuple[str | None, int]]:
    return [(None, weight) for weight in weights]


def test_fourth_behind_a_single_third_counts_three_for_the_team() -> None:
    # Source: rules that re-rank teams without single entrants (secondary).
    entries = (
        Entry("a", "alders", 4000),
        Entry("b", "teals", 3000),
        Entry("single", None, 2000),
        Entry("c", "rovers", 1000),
    )
    worked = placings_work_out(
        PlacingsRequest((Section("A", entries),), teams_ranked_without_singles=True)
    )
    assert {p.angler: p.place for p in worked.placings}["c"] == 4
    assert {t.team: t.points for t in worked.teams}["rovers"] == 3


@given(WEIGHTS)
def test_international_places_are_scipys_average_ranks(weights: list[int]) -> None:
    expected = rankdata([-w for w in weights], "average") if weights else np.array([])
    assert [float(place) for place in places(weights)] == expected.tolist()


@given(WEIGHTS)
def test_places_add_up_when_nobody_is_absent(weights: list[int]) -> None:
    assert sum(places(weights)) == Fraction(len(weights) * (len(weights) + 1), 2)


@given(WEIGHTS)
def test_same_best_and_same_worst_are_pandas_min_and_max(weights: list[int]) -> None:
    caught = [w for w in weights if w]
    ranks = pd.Series(caught, dtype="int64").rank(ascending=False, method="min")
    assert [float(p) for p in places(caught, scheme=Scheme(ties="same_best"))] == ranks.tolist()
    ranks = pd.Series(caught, dtype="int64").rank(ascending=False, method="max")
    assert [float(p) for p in places(caught, scheme=Scheme(ties="same_worst"))] == ranks.tolist()


@given(st.lists(WEIGHTS, min_size=1, max_size=5))
def test_sections_together_are_pandas_ranks_by_group(sections: list[list[int]]) -> None:
    rows = [(n, i, w) for n, weights in enumerate(sections) for i, w in enumerate(weights)]
    table = pd.DataFrame(rows, columns=["section", "angler", "weight"], dtype="int64")
    ranks = table.groupby("section")["weight"].rank(ascending=False, method="average")
    request = PlacingsRequest(
        tuple(
            Section(str(n), tuple(Entry(f"{n}-{i}", None, w) for i, w in enumerate(weights)))
            for n, weights in enumerate(sections)
        )
    )
    placed = {p.angler: p.place for p in placings_work_out(request).placings}
    assert [float(placed[f"{n}-{i}"]) for n, i, _ in rows] == ranks.tolist()


def test_rankdata_of_the_textbook_four() -> None:
    # Source: scipy.stats.rankdata's own documentation: [0, 2, 3, 2] ranks 1, 2.5, 4, 2.5.
    assert rankdata([0, 2, 3, 2]).tolist() == [1, 2.5, 4, 2.5]
    assert places([4, 2, 1, 2]) == [1, Fraction("2.5"), 4, Fraction("2.5")]


@given(st.lists(st.tuples(st.integers(0, 4), st.integers(0, 4)), max_size=30))
def test_places_by_fish_then_weight_are_scipys_average_ranks(caught: list[tuple[int, int]]) -> None:
    # Whole numbers below 1000 make one number of points and weight: what scipy can rank.
    entries = tuple(Entry(f"{i:03d}", None, w, score=s) for i, (s, w) in enumerate(caught))
    placed = {
        p.angler: float(p.place)
        for p in placings_work_out(PlacingsRequest((Section("A", entries),))).placings
    }
    expected = rankdata([-(1000 * s + w) for s, w in caught], "average") if caught else []
    assert [placed[e.angler] for e in entries] == list(expected)


def test_a_net_over_fifty_pounds_counts_fifty_or_nothing() -> None:
    # Source: club rules of several waters (secondary): over 50 lb counts 50, far over counts 0.
    fifty, over = 50 * 256, 50 * 256 + 1
    assert NetRules(fifty, "cap").weight_counted(over) == fifty
    assert NetRules(fifty, "nothing").weight_counted(over) == 0
