"""The review of one day: what must hold of any notes, and days that are known."""

from __future__ import annotations

import json
import random
from fractions import Fraction
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from bait.reckon.review import (
    DayNotes,
    Fed,
    FishNoted,
    StagePlanned,
    Switch,
    better_line,
    day_review,
    guess_checked,
)

END = 5 * 3600
LINES = st.sampled_from(["", "long", "short"])
SECONDS = st.integers(-600, END + 600)
NOTES = st.builds(
    DayNotes,
    end=st.just(END),
    fish=st.lists(
        st.builds(
            FishNoted,
            second=SECONDS,
            count=st.integers(1, 4),
            line=LINES,
            about=st.none() | st.integers(0, 900),
        ),
        max_size=30,
    ).map(tuple),
    feeds=st.lists(
        st.builds(Fed, second=SECONDS, bait=st.sampled_from(["hemp", "caster"]), line=LINES),
        max_size=12,
    ).map(tuple),
    switches=st.lists(st.builds(Switch, second=SECONDS, line=LINES), max_size=5).map(tuple),
    stages=st.just((StagePlanned(0, "long", 0, 9_000), StagePlanned(1, "short", 9_000, END))),
    first_line=LINES,
    weighed=st.none() | st.integers(0, 20_000),
)


@given(NOTES)
def test_any_day_is_reviewed_and_every_fish_is_in_one_place(notes: DayNotes) -> None:
    review = day_review(notes)
    start, end = review.watched.start, review.watched.end
    assert 0 <= start < end <= END
    assert review.fish + review.outside == sum(one.count for one in notes.fish)
    assert sum(quarter.fish for quarter in review.quarters) == review.fish
    assert sum(line.fish for line in review.lines) == review.fish
    assert sum(line.seconds for line in review.lines) == end - start
    assert sum(quarter.about for quarter in review.quarters) == review.about
    assert [q.start for q in review.quarters] == sorted(q.start for q in review.quarters)
    if review.running:
        assert review.running[-1][1] == review.about
    if len(review.lines) > 1:
        assert sum(line.best or 0 for line in review.lines) == pytest.approx(1, abs=1e-6)
    if not review.one_go:
        assert sum(block.fish for block in review.blocks) == review.fish
    assert all(stage.seconds <= end - start for stage in review.stages)


def every(seconds: int, *, start: int, end: int, line: str) -> list[FishNoted]:
    return [FishNoted(s, 1, line, about=60) for s in range(start + seconds // 2, end, seconds)]


def day(**changes: object) -> DayNotes:
    """A fish in ten minutes on the long line, one in two and a half on the short one from 12:30."""
    given: dict[str, object] = {
        "end": END,
        "fish": (
            *every(600, start=0, end=9_000, line="long"),
            *every(150, start=9_000, end=END, line="short"),
        ),
        "feeds": (
            *(Fed(s, "hemp", "long") for s in range(-300, 9_000, 600)),
            *(Fed(s, "caster", "short") for s in range(8_400, END, 300)),
        ),
        "switches": (Switch(8_900, "short"),),
        "stages": (StagePlanned(0, "long", 0, 9_000), StagePlanned(1, "short", 9_000, END)),
        "first_line": "long",
        "weighed": 4_500,
    }
    return DayNotes(**{**given, **changes})  # type: ignore[arg-type]


def test_a_switch_that_brought_fish_is_named_beside_the_change() -> None:
    review = day_review(day())
    (seen,) = review.changes
    assert seen.change.ratio == pytest.approx(4, abs=0.5)
    assert [(done.kind, done.name) for done in seen.done] == [("line", "short"), ("feed", "caster")]
    long, short = review.lines
    assert (long.name, long.seconds, long.fish) == ("long", 8_900, 15)
    assert short.best is not None
    assert short.best > 0.99
    assert [stage.fish for stage in review.stages] == [15, 60]
    assert review.watched.whole
    assert review.factor == Fraction(4_500, 75 * 60)


def test_a_phone_that_was_put_away_says_nothing_of_the_rest_of_the_day() -> None:
    noted = day()
    half = DayNotes(
        end=END,
        fish=tuple(one for one in noted.fish if one.second < 7_000),
        feeds=tuple(one for one in noted.feeds if one.second < 7_000 and one.line == "long"),
        first_line="long",
        weighed=4_500,
    )
    review = day_review(half)
    assert (review.watched.whole, review.watched.start) == (False, 0)
    assert 6_300 <= review.watched.end < 7_000
    assert review.lines[0].seconds == review.watched.end
    assert review.factor is None


def test_fish_noted_in_one_go_say_nothing_of_when_they_came() -> None:
    fish = (*(FishNoted(9_000 + 2 * n, 1, "long", about=60) for n in range(20)),)
    review = day_review(day(fish=fish))
    assert review.one_go
    assert review.blocks == ()
    assert review.changes == ()
    assert review.fish == 20


def test_a_day_without_notes_or_fish_is_a_review_all_the_same() -> None:
    review = day_review(DayNotes(end=END))
    assert (review.fish, review.about, review.changes) == (0, 0, ())
    assert [line.fish for line in review.lines] == [0]


def test_fish_outside_the_match_are_told_and_left_out() -> None:
    review = day_review(day(fish=(*day().fish, FishNoted(-400, 2), FishNoted(END + 90, 1))))
    assert review.outside == 3
    assert review.fish == 75


def test_fish_without_a_guess_weigh_as_the_others_do() -> None:
    fish = (FishNoted(60, 2, about=100), FishNoted(900, 3), FishNoted(1_900, 1, about=200))
    assert day_review(DayNotes(end=END, fish=fish)).about == 600


def test_a_match_of_no_length_is_refused() -> None:
    with pytest.raises(ValueError, match="longer than nothing"):
        day_review(DayNotes(end=0))


#: Days that are noted badly: the notes, and what of the review is told.
BAD: dict[str, tuple[DayNotes, dict[str, object]]] = {
    "feed and no fish": (
        DayNotes(end=END, feeds=(Fed(60, "hemp"), Fed(17_000, "hemp"))),
        {"fish": 0, "about": 0, "one_go": False, "lines": [("", 0)], "changes": 0},
    ),
    "one fish": (
        DayNotes(end=END, fish=(FishNoted(9_000, 1, about=60),), weighed=70),
        {"fish": 1, "about": 60, "one_go": False, "lines": [("", 1)], "changes": 0},
    ),
    "all in one minute": (
        DayNotes(end=END, fish=tuple(FishNoted(9_000 + 7 * n, 1, about=60) for n in range(8))),
        {"fish": 8, "about": 480, "one_go": True, "lines": [("", 8)], "changes": 0},
    ),
    "a clock hours off": (
        DayNotes(end=END, fish=tuple(FishNoted(90_000 + 60 * n, 1, about=60) for n in range(8))),
        {"fish": 0, "about": 0, "outside": 8, "lines": [("", 0)], "changes": 0},
    ),
    "only the first half logged": (
        DayNotes(end=END, fish=tuple(FishNoted(300 * n, 1, about=60) for n in range(1, 31))),
        {"fish": 30, "end": 9_000, "lines": [("", 30)], "changes": 0},
    ),
    "a fish on another line than the switch says": (
        DayNotes(
            end=END,
            fish=(FishNoted(3_000, 1, "long", about=60), FishNoted(16_000, 1, "long", about=60)),
            switches=(Switch(3_000, "short"), Switch(8_000, "short")),
            first_line="long",
        ),
        {"fish": 2, "lines": [("long", 2), ("short", 0)]},
    ),
    "two switches in one second, and one over to where one is": (
        DayNotes(
            end=END,
            fish=(FishNoted(16_000, 2, "short", about=90),),
            switches=(Switch(3_000, "short"), Switch(3_000, "long"), Switch(9_000, "short")),
            first_line="long",
        ),
        {"fish": 2, "lines": [("long", 0), ("short", 2)], "first_line_s": 9_000},
    ),
    "the same fish from two phones, each its own note": (
        DayNotes(end=END, fish=(FishNoted(9_000, 1, about=60), FishNoted(9_000, 1, about=60))),
        {"fish": 2, "about": 120, "lines": [("", 2)]},
    ),
}


@pytest.mark.parametrize("why", BAD)
def test_a_day_that_is_noted_badly_is_told_as_far_as_it_goes(why: str) -> None:
    notes, told = BAD[why]
    review = day_review(notes)
    found = {
        "fish": review.fish,
        "about": review.about,
        "outside": review.outside,
        "one_go": review.one_go,
        "end": review.watched.end,
        "lines": [(line.name, line.fish) for line in review.lines],
        "changes": len(review.changes),
        "first_line_s": review.lines[0].seconds,
    }
    assert {key: found[key] for key in told} == told
    assert sum(line.seconds for line in review.lines) == review.watched.end - review.watched.start


@pytest.mark.parametrize(
    ("fish", "weighed", "verdict"),
    [(60, 3_600, "right"), (60, 3_400, "right"), (60, 4_500, "light"), (60, 2_700, "heavy")],
)
def test_guesses_are_called_wrong_where_luck_would_not_do_it(
    fish: int, weighed: int, verdict: str
) -> None:
    notes = (FishNoted(60, fish // 2, about=fish * 30), FishNoted(90, fish // 2, about=fish * 30))
    found = guess_checked(notes, weighed=weighed)
    assert found is not None
    assert found.verdict == verdict
    assert found.ratio == weighed / 3_600
    # Sixty fish alike, each a third off on its own: 1.645 / 3 / √60.
    assert found.ratio / found.low == pytest.approx(1 + 1.6449 / 3 / 60**0.5, abs=1e-4)


@pytest.mark.parametrize(
    ("fish", "weighed"),
    [
        ((FishNoted(1, 4, about=200),), 200),
        ((FishNoted(1, 9, about=900), FishNoted(2, 1)), 900),
        ((FishNoted(1, 9, about=900),), None),
        ((FishNoted(1, 9, about=900),), 0),
        ((), 900),
    ],
)
def test_what_cannot_be_held_against_the_scales_is_not(
    fish: tuple[FishNoted, ...], weighed: int | None
) -> None:
    assert guess_checked(fish, weighed=weighed) is None


def test_nine_ratios_in_ten_are_held_and_one_fish_of_all_the_weight_leaves_much_doubt() -> None:
    chance, held = random.Random(4), 0
    for _day in range(400):
        sizes = [chance.choice([15, 50, 145]) for _fish in range(40)]
        true = chance.uniform(0.8, 1.25)
        weighed = true * sum(chance.gauss(each, each / 3) for each in sizes)
        notes = [FishNoted(n, 1, about=each) for n, each in enumerate(sizes)]
        found = guess_checked(notes, weighed=round(weighed))
        assert found is not None
        held += found.low <= true <= found.high
    assert 0.87 <= held / 400 <= 0.93
    lone = guess_checked([FishNoted(1, 4, about=4), FishNoted(2, 1, about=9_000)], weighed=9_000)
    assert lone is not None
    assert lone.low < 1 < lone.high


CASES = Path(__file__).parents[1] / "cases" / "line_better.json"


@pytest.mark.parametrize(
    "case", json.loads(CASES.read_text(encoding="utf-8")), ids=lambda case: case["why"]
)
def test_a_line_is_called_the_better_one_as_the_phone_does(case: dict[str, Any]) -> None:
    notes = DayNotes(
        end=case["minutes"] * 60,
        fish=tuple(
            FishNoted(round(one["minute"] * 60), one["count"], one["line"], about=one["about"])
            for one in case["caught"]
        ),
        switches=tuple(Switch(one["minute"] * 60, one["line"]) for one in case["switches"]),
        first_line=case["first"],
    )
    review = day_review(notes)
    assert {line.name: line.best for line in review.lines} == pytest.approx(case["best"], abs=1e-6)
    found = better_line(review)
    assert (found[0].name if found else None) == case["better"]
