"""Pegs against the others of their sections: what is said, and from when."""

from __future__ import annotations

import datetime as dt
import random
from fractions import Fraction

import pytest

from matches.reckon.peg_form import Finish, peg_forms, peg_forms_when
from matches.reckon.seasons import season_of


def season(*, matches: int, flyer: bool, seed: int = 3) -> list[Finish]:
    """Two sections of six drawn anew each time; peg 1 wins three times in four if a flyer."""
    chance, finishes = random.Random(seed), []
    for _ in range(matches):
        for first in (1, 7):
            pegs = list(range(first, first + 6))
            chance.shuffle(pegs)
            if flyer and first == 1 and chance.random() < 0.75:
                pegs.remove(1)
                pegs.insert(0, 1)
            finishes += [Finish(str(p), Fraction(n), 6) for n, p in enumerate(pegs, 1)]
    return finishes


def test_a_peg_that_wins_match_after_match_is_called_good_in_time() -> None:
    forms = peg_forms(season(matches=20, flyer=True))
    assert forms is not None
    assert forms["1"].verdict == "good"
    assert forms["1"].beaten > forms["1"].believed.value > Fraction(1, 2)
    assert [peg for peg, form in forms.items() if form.verdict == "good"] == ["1"]


@pytest.mark.parametrize("matches", [1, 2, 3, 4])
def test_no_peg_is_called_anything_on_a_few_matches(matches: int) -> None:
    forms = peg_forms(season(matches=matches, flyer=True))
    assert forms is not None
    assert {form.verdict for form in forms.values()} == {"few"}


def test_pegs_that_are_alike_are_seldom_called_otherwise() -> None:
    """Nine in ten intervals hold: of 12 pegs about one would be called wrongly were they not drawn
    in; so they are hardly ever."""
    wrong = 0
    for seed in range(60):
        forms = peg_forms(season(matches=12, flyer=False, seed=seed))
        assert forms is not None
        wrong += sum(form.verdict != "even" for form in forms.values())
    assert wrong <= 60 * 12 * 0.05


def test_ties_share_and_a_section_of_one_says_nothing() -> None:
    level = [Finish("1", Fraction(3, 2), 2), Finish("2", Fraction(3, 2), 2)]
    others = [Finish(peg, Fraction(n), 3) for n, peg in enumerate("345", 1)]
    forms = peg_forms([*level, *others, Finish("9", Fraction(1), 1)])
    assert forms is not None
    assert forms["1"].beaten == forms["2"].beaten == Fraction(1, 2)
    assert "9" not in forms


def test_three_pegs_are_too_few_to_compare() -> None:
    assert peg_forms([Finish(peg, Fraction(n), 3) for n, peg in enumerate("123", 1)]) is None


def test_a_peg_that_is_good_in_high_water_only_is_called_so_there_alone() -> None:
    high, low = season(matches=24, flyer=True, seed=5), season(matches=24, flyer=False, seed=6)
    forms = peg_forms_when({"high": high, "low": low})
    assert [cell for cell, form in forms.items() if form.verdict == "good"] == [("1", "high")]
    assert forms["1", "low"].believed.value < forms["1", "high"].believed.value


@pytest.mark.parametrize("matches", [1, 3, 4])
def test_under_one_condition_no_peg_is_called_anything_on_a_few_matches(matches: int) -> None:
    seen = {
        "summer": season(matches=30, flyer=True),
        "winter": season(matches=matches, flyer=True, seed=4),
    }
    forms = peg_forms_when(seen)
    assert {form.verdict for (_peg, when), form in forms.items() if when == "winter"} == {"few"}
    assert forms["1", "summer"].verdict == "good"


def test_under_conditions_too_three_pegs_are_too_few_to_compare() -> None:
    three = [Finish(peg, Fraction(n), 3) for n, peg in enumerate("123", 1)]
    assert peg_forms_when({"low": three}) == {}


@pytest.mark.parametrize(
    ("day", "season"),
    [
        ("2026-03-14", "winter"),
        ("2026-03-15", "spring"),
        ("2026-06-15", "spring"),
        ("2026-06-16", "summer"),
        ("2026-08-31", "summer"),
        ("2026-09-01", "autumn"),
        ("2026-12-01", "winter"),
        ("2026-01-01", "winter"),
    ],
)
def test_the_year_is_parted_where_the_rivers_close(day: str, season: str) -> None:
    assert season_of(dt.date.fromisoformat(day)) == season
