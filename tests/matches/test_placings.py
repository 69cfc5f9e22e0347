"""Placings: the shared cases, and the rules that hold for every match."""

from __future__ import annotations

import json
import random
from fractions import Fraction
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from matches.reckon.errors import BadInput
from matches.reckon.placings import (
    INTERNATIONAL,
    PLACINGS_EXAMPLE,
    PLACINGS_EXAMPLE_ANSWER,
    Entry,
    PlacingsRequest,
    Scheme,
    Section,
    placings_parse,
    placings_work_out,
)
from matches.reckon.placings.places import NOT_PLACED, places_doubled
from matches.reckon.placings.scheme import ABSENTS, BLANKS, TIES

CASES = json.loads(
    (Path(__file__).parents[1] / "cases" / "placings.json").read_text(encoding="utf-8")
)


def answer(raw: object) -> dict[str, Any]:
    return placings_work_out(placings_parse(raw)).as_json()


@pytest.mark.parametrize("case", [c for c in CASES if "output" in c], ids=lambda c: c["why"])
def test_case_is_placed(case: dict[str, Any]) -> None:
    assert answer(case["input"]) == case["output"]


@pytest.mark.parametrize("case", [c for c in CASES if "errors" in c], ids=lambda c: c["why"])
def test_case_is_refused(case: dict[str, Any]) -> None:
    with pytest.raises(BadInput) as refused:
        placings_parse(case["input"])
    assert sorted(fault.pointer for fault in refused.value.faults) == case["errors"]


def test_the_example_of_the_api_is_true() -> None:
    assert answer(PLACINGS_EXAMPLE) == PLACINGS_EXAMPLE_ANSWER


ENTRIES = st.builds(
    lambda weight, team, status: (0 if status == "absent" else weight, team, status),
    st.one_of(st.just(0), st.integers(0, 5), st.integers(0, 1_000_000)),
    st.sampled_from([None, "alders", "teals", "rovers"]),
    st.sampled_from(["weighed", "weighed", "weighed", "absent", "disqualified", "retired"]),
)
HALVES = st.integers(1, 60).map(lambda n: Fraction(n, 2))


@st.composite
def schemes(draw: st.DrawFn) -> Scheme:
    ties = draw(st.sampled_from(TIES))
    if draw(st.booleans()):
        return Scheme(
            ties=ties,
            blank=draw(st.sampled_from([b for b in BLANKS if b not in ("one", "zero")])),
            absent=draw(st.sampled_from(ABSENTS[:-1])),
        )
    return Scheme(
        direction="high",
        ties=ties,
        blank=draw(st.sampled_from(BLANKS)),
        absent=draw(st.sampled_from(ABSENTS)),
        first=draw(st.one_of(st.none(), HALVES)),
        step=draw(st.one_of(HALVES, st.just(Fraction("0.3125")))),
    )


@st.composite
def matches(draw: st.DrawFn) -> tuple[Section, ...]:
    sections = []
    for n, rows in enumerate(draw(st.lists(st.lists(ENTRIES, max_size=7), min_size=1, max_size=4))):
        entries = tuple(
            Entry(angler=f"{n}-{i}", team=team, weight=weight, status=status)
            for i, (weight, team, status) in enumerate(rows)
        )
        size = draw(st.one_of(st.none(), st.integers(len(rows), len(rows) + 3)))
        sections.append(Section(id=f"s{n}", entries=entries, size=size))
    return tuple(sections)


def place_by_definition(entry: Entry, *, section: Section, scheme: Scheme) -> Fraction:
    """One angler's place, counted one rival at a time as the rule is written."""
    size = section.anglers
    caught = [e.weight for e in section.entries if e.counted_weight]
    left = Fraction(len(caught) + 1 + size, 2)
    if not entry.fished:
        behind = {"size": 0, "size_plus_one": 1, "size_plus_two": 2, "zero": 1}
        return Fraction(size + behind[scheme.absent])
    if not entry.weight:
        return {
            "average_of_left": left,
            "last_plus_one": Fraction(len(caught) + 1),
            "size": Fraction(size),
            "size_plus_one": Fraction(size + 1),
            "one": left,
            "zero": left,
        }[scheme.blank]
    best = 1 + sum(w > entry.weight for w in caught)
    worst = sum(w >= entry.weight for w in caught)
    return {
        "average": Fraction(best + worst, 2),
        "same_best": Fraction(best),
        "same_worst": Fraction(worst),
    }[scheme.ties]


def points_by_definition(
    entry: Entry, *, place: Fraction, section: Section, scheme: Scheme
) -> Fraction:
    if scheme.direction == "low":
        return place
    if (not entry.fished and scheme.absent == "zero") or (
        entry.fished and not entry.weight and scheme.blank == "zero"
    ):
        return Fraction(0)
    if entry.fished and not entry.weight and scheme.blank == "one":
        return Fraction(1)
    first = Fraction(section.anglers) if scheme.first is None else scheme.first
    return max(Fraction(0), first - (place - 1) * scheme.step)


@given(matches(), schemes())
def test_arrays_place_as_the_definition_does(sections: tuple[Section, ...], scheme: Scheme) -> None:
    worked = placings_work_out(PlacingsRequest(sections=sections, scheme=scheme))
    got = {p.angler: (p.place, p.points) for p in worked.placings}
    expected = {}
    for section in sections:
        for entry in section.entries:
            place = place_by_definition(entry, section=section, scheme=scheme)
            points = points_by_definition(entry, place=place, section=section, scheme=scheme)
            expected[entry.angler] = (place, points)
    assert got == expected


@given(matches(), schemes(), st.booleans(), st.randoms(use_true_random=False))
def test_the_order_of_sections_and_entries_does_not_matter(
    sections: tuple[Section, ...], scheme: Scheme, singles: bool, luck: random.Random
) -> None:
    def request(of: tuple[Section, ...]) -> PlacingsRequest:
        return PlacingsRequest(sections=of, scheme=scheme, teams_ranked_without_singles=singles)

    def stirred(rows: tuple[Any, ...]) -> tuple[Any, ...]:
        return tuple(luck.sample(rows, len(rows)))

    other = tuple(Section(s.id, stirred(s.entries), s.size) for s in stirred(sections))
    assert placings_work_out(request(other)) == placings_work_out(request(sections))


@given(matches(), schemes())
def test_teams_add_up_and_leave_nobody_out(sections: tuple[Section, ...], scheme: Scheme) -> None:
    worked = placings_work_out(PlacingsRequest(sections=sections, scheme=scheme))
    in_teams = [p for p in worked.placings if p.team is not None]
    assert sum(t.points for t in worked.teams) == sum(p.points for p in in_teams)
    assert sum(t.weight for t in worked.teams) == sum(p.weight for p in in_teams)
    assert sum(t.counted for t in worked.teams) == len(in_teams)
    assert len(worked.individuals) == len(worked.placings)


@given(matches(), schemes())
def test_individuals_are_ranked_by_points_then_weight(
    sections: tuple[Section, ...], scheme: Scheme
) -> None:
    people = placings_work_out(PlacingsRequest(sections=sections, scheme=scheme)).individuals
    sign = 1 if scheme.direction == "low" else -1
    for person in people:
        standing = (sign * person.points, -person.weight)
        ahead = sum((sign * p.points, -p.weight) < standing for p in people)
        assert person.rank == ahead + 1
    assert [p.rank for p in people] == sorted(p.rank for p in people)


@given(matches())
def test_catching_more_never_costs_a_place(sections: tuple[Section, ...]) -> None:
    worked = placings_work_out(PlacingsRequest(sections=sections))
    for section in sections:
        rows = [p for p in worked.placings if p.section == section.id]
        for better in rows:
            for worse in rows:
                if better.weight > worse.weight:
                    assert better.place < worse.place


def test_without_singles_nobody_changes_but_the_teams() -> None:
    section = Section(
        "A",
        (
            Entry("maud", "alders", 4000),
            Entry("solo", None, 3000),
            Entry("idris", "teals", 2000),
        ),
    )
    usual = placings_work_out(PlacingsRequest((section,)))
    without = placings_work_out(PlacingsRequest((section,), teams_ranked_without_singles=True))
    assert without.placings == usual.placings
    assert without.individuals == usual.individuals
    assert [(t.team, t.points) for t in usual.teams] == [("alders", 1), ("teals", 3)]
    assert [(t.team, t.points) for t in without.teams] == [("alders", 1), ("teals", 2)]


def test_the_flag_on_singles_may_stand_in_the_scheme_too() -> None:
    raw = {
        "scheme": {"direction": "low", "teams_ranked_without_singles": True},
        "sections": [
            {
                "id": "A",
                "entries": [
                    {"angler": "solo", "team": None, "weight": 3000},
                    {"angler": "idris", "team": "teals", "weight": 2000},
                ],
            }
        ],
    }
    assert answer(raw)["teams"][0]["points"] == "1"


def test_big_arrays_match_a_plain_ranking() -> None:
    rng = np.random.default_rng(3)
    section = rng.permutation(np.repeat(np.arange(2_000), 10))
    weight = rng.integers(0, 30, len(section)) * 100
    size = np.full(2_000, 10, dtype=np.int64)
    places = places_doubled(section, weight=weight, size=size, scheme=INTERNATIONAL)
    for n in range(0, 2_000, 97):
        mine = weight[section == n]
        heavier = (mine[None, :] > mine[:, None]).sum(axis=1)
        equal = (mine[None, :] == mine[:, None]).sum(axis=1)
        assert places[section == n].tolist() == (2 * heavier + equal + 1).tolist()


def test_no_entries_give_no_places() -> None:
    none = np.empty(0, dtype=np.int64)
    assert places_doubled(none, weight=none, size=none, scheme=INTERNATIONAL).tolist() == []


def test_weights_past_whole_number_arithmetic_are_refused() -> None:
    section = np.zeros(2, dtype=np.int64)
    weight = np.array([2**62, NOT_PLACED], dtype=np.int64)
    size = np.full(2, 2, dtype=np.int64)
    with pytest.raises(ValueError, match="too many sections"):
        places_doubled(section, weight=weight, size=size, scheme=INTERNATIONAL)
