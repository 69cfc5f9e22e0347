"""What a net counts: under a cap, and where fish are scored by species."""

from __future__ import annotations

from fractions import Fraction
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from matches.reckon.counting import NetRules
from matches.reckon.errors import BadInput
from matches.reckon.placings import (
    Entry,
    PlacingsRequest,
    Section,
    placings_parse,
    placings_work_out,
)
from matches.reckon.weights import weight_unusual

CAP = 22_680


def test_a_net_on_the_cap_counts_in_full_and_one_gram_more_counts_the_cap() -> None:
    # Source: club rules (secondary): a net over 50 lb counts 50 lb, or far over it nothing.
    assert NetRules(CAP).weight_counted(CAP) == CAP
    assert NetRules(CAP).weight_counted(CAP + 1) == CAP
    assert NetRules(CAP, "nothing").weight_counted(CAP) == CAP
    assert NetRules(CAP, "nothing").weight_counted(CAP + 1) == 0
    assert NetRules().weight_counted(10**6) == 10**6


@given(st.integers(0, 2_000_000), st.integers(1, 60_000))
def test_no_net_counts_more_than_it_weighs_or_than_the_cap(weight: int, cap: int) -> None:
    for over in ("cap", "nothing"):
        counted = NetRules(cap, over).weight_counted(weight)  # type: ignore[arg-type]
        assert 0 <= counted <= min(weight, cap)


def test_fish_count_by_the_points_of_their_species() -> None:
    rules = NetRules(points={"Roach": 1, "Perch": 3})
    assert rules.fish_counted([("Roach", 12), ("Perch", 2), ("Pike", 1)], weight=900) == 18
    assert rules.fish_counted(None, weight=900) == 0
    assert NetRules().fish_counted([("Roach", 12)], weight=900) is None


def test_a_net_that_counts_nothing_loses_its_fish_too() -> None:
    rules = NetRules(CAP, "nothing", {"Roach": 1})
    assert rules.fish_counted([("Roach", 12)], weight=CAP + 1) == 0
    assert NetRules(CAP, "cap", {"Roach": 1}).fish_counted([("Roach", 12)], weight=CAP + 1) == 12


def placed(*entries: Entry) -> dict[str, Fraction]:
    worked = placings_work_out(PlacingsRequest((Section("A", entries),)))
    return {p.angler: p.place for p in worked.placings}


def test_where_fish_are_scored_the_weight_parts_only_those_level_on_points() -> None:
    assert placed(
        Entry("few but heavy", None, 9000, score=4),
        Entry("level, heavier", None, 800, score=12),
        Entry("level, lighter", None, 700, score=12),
        Entry("level in both", None, 700, score=12),
        Entry("blank", None, 0, score=0),
        Entry("gone", None, 0, "absent", score=0),
    ) == {
        "level, heavier": 1,
        "level, lighter": Fraction("2.5"),
        "level in both": Fraction("2.5"),
        "few but heavy": 4,
        "blank": Fraction("5.5"),
        "gone": 7,
    }


def test_who_weighed_fish_that_nobody_counted_is_behind_the_counted_and_no_blank() -> None:
    assert placed(
        Entry("counted", None, 100, score=1),
        Entry("not counted", None, 5000, score=0),
        Entry("blank", None, 0, score=0),
    ) == {"counted": 1, "not counted": 2, "blank": 3}


def test_scores_for_some_only_are_refused() -> None:
    rows: list[dict[str, Any]] = [
        {"angler": "a", "weight": 1, "score": 3},
        {"angler": "b", "weight": 1},
    ]
    with pytest.raises(BadInput) as refused:
        placings_parse({"sections": [{"id": "A", "entries": rows}]})
    assert [f.pointer for f in refused.value.faults] == ["/sections/0/entries/1/score"]


def test_each_tie_break_says_what_it_parted() -> None:
    sections = (
        Section("A", (Entry("a1", "alders", 5000), Entry("t1", "teals", 4000))),
        Section("B", (Entry("t2", "teals", 3000), Entry("a2", "alders", 1000))),
    )
    teams = placings_work_out(PlacingsRequest(sections)).teams
    first, second = teams
    assert first.parting is not None
    assert (first.team, first.parting.by, first.parting.mine, first.parting.theirs) == (
        "teals",
        "weight",
        7000,
        6000,
    )
    assert (first.parting.other, second.parting) == ("alders", None)


@pytest.mark.parametrize(
    ("breaks", "by"),
    [(("best_weight",), "best_weight"), (("best_place", "best_weight"), "best_weight"), ((), None)],
)
def test_the_first_tie_break_that_differs_is_the_one_told(breaks: Any, by: str | None) -> None:
    sections = (
        Section("A", (Entry("a1", "alders", 5000), Entry("t1", "teals", 4000))),
        Section("B", (Entry("t2", "teals", 4500), Entry("a2", "alders", 3500))),
    )
    teams = placings_work_out(PlacingsRequest(sections, team_tie_breaks=breaks)).teams
    assert (teams[0].parting.by if teams[0].parting else None) == by
    assert [t.rank for t in teams] == ([1, 2] if by else [1, 1])


def test_individuals_level_on_points_are_parted_by_weight_in_words_of_both() -> None:
    # "third on weight: 12.450 kg to 11.900 kg", in a division of three sections.
    sections = tuple(
        Section(label, (Entry(f"{label}1", None, weight), Entry(f"{label}2", None, 100 + n)))
        for n, (label, weight) in enumerate([("A", 20_000), ("B", 12_450), ("C", 11_900)])
    )
    rows = placings_work_out(PlacingsRequest(sections)).individuals
    told = {r.angler: r.parting for r in rows}["B1"]
    assert told is not None
    assert (told.by, told.mine, told.theirs, told.other) == ("weight", 12_450, 11_900, "C1")
    last_of_the_firsts = {r.angler: r.parting for r in rows}["C1"]
    assert last_of_the_firsts is None  # the next has other points


@pytest.mark.parametrize(
    ("weight", "others", "asked"),
    [
        (1_000_000, (), True),
        (22_680, (), False),
        (22_681, (), True),
        (3001, (1000, 900, 800), True),
        (3000, (1000, 900, 800), False),
        (3001, (1000, 900), False),
        (500, (0, 0, 0), False),
    ],
)
def test_a_weight_far_above_the_rest_is_worth_asking_about(
    weight: int, others: tuple[int, ...], asked: bool
) -> None:
    assert weight_unusual(weight, unit="g", others=others) is asked
