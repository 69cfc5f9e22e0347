"""What a season says, and when it says nothing: pure reckoning on invented days."""

from __future__ import annotations

import math
import random
from dataclasses import replace
from fractions import Fraction
from typing import Any

import pytest

from bait.reckon.season import (
    AnglerDay,
    Column,
    DayFed,
    Effect,
    FeedGiven,
    LeftOut,
    SeasonAnswer,
    day_fed,
    season_work_out,
)
from bait.reckon.season.day import log_ratio

CASTER, HEMP = Column("bait", "caster", "pint"), Column("bait", "hemp", "pint")
WORM = Column("bait", "worm", "L")
GROUNDBAIT = Column("kind", "groundbait", "L")
HOURS_5 = 18_000


def feed(minute: float, amount: Any, column: Column = CASTER, *, ball: bool = False) -> FeedGiven:
    given = None if amount is None else Fraction(str(amount))
    return FeedGiven(round(minute * 60), column, given, ball)


def day(match: int = 1, angler: str = "maud", *, own: int | None = 2000, **given: Any) -> AnglerDay:
    """Half a pint of caster in five feeds, an hour apart."""
    feeds = given.pop("feeds", tuple(feed(minute, "0.1") for minute in range(30, 300, 60)))
    moments = given.pop("moments", tuple(one.second for one in feeds))
    whole = AnglerDay(f"m{match}", angler, HOURS_5, own, (1500, 2500, 2000, 900), feeds, moments)
    return replace(whole, **given)


def season(
    *, matches: int = 9, anglers: int = 5, works: float = 0.0, luck: float = 0.3, **more: Any
) -> list[AnglerDay]:
    """A pint of caster more makes the weight e^works times as heavy. Hemp is fed by whim."""
    chance = random.Random(4)
    days = []
    for match in range(matches):
        for angler in range(anglers):
            caster, hemp = chance.choice((1, 2, 3, 4)), chance.choice((0, 1, 2))
            log = works * (caster - 2.5) / 2 + 0.2 * angler + chance.gauss(0, luck)
            feeds = [feed(minute, caster / 10) for minute in range(30, 300, 60)]
            feeds += [feed(10, hemp / 2, HEMP)] if hemp else []
            days.append(
                day(
                    match,
                    f"a{angler}",
                    own=round(2000 * math.exp(log)),
                    feeds=tuple(feeds),
                    **more,
                )
            )
    return days


def effects(answer: SeasonAnswer) -> dict[str, Effect]:
    return {effect.column.key: effect for effect in answer.effects}


def test_what_truly_works_is_found_with_its_size_and_what_does_not_stays_unsure() -> None:
    answer = season_work_out(season(works=1.0))
    assert (answer.verdict, answer.matches, answer.days, answer.anglers) == ("said", 9, 45, 5)
    caster, hemp = effects(answer)["caster"], effects(answer)["hemp"]
    assert caster.found == "more" and caster.low is not None and caster.high is not None
    assert caster.low <= math.exp(caster.step) <= caster.high
    assert (caster.matches, caster.days, caster.anglers, caster.step) == (9, 45, 5, 0.5)
    assert hemp.found == "unsure" and hemp.low is not None and hemp.low < 1
    assert hemp.days < 45


def test_fewer_matches_give_a_wider_interval_nearer_nought() -> None:
    many, few = (
        effects(season_work_out(season(matches=matches, works=0.4, luck=0.8)))["caster"]
        for matches in (20, 5)
    )
    assert width(few) > 1.5 * width(many)
    assert few.times is not None and many.times is not None
    assert abs(math.log(few.times)) / few.step < 0.4


def width(effect: Effect) -> float:
    """Of the interval of a pint, as a logarithm."""
    assert effect.low is not None and effect.high is not None
    return math.log(effect.high / effect.low) / effect.step


@pytest.mark.parametrize(
    ("days", "verdict"),
    [
        ([], "few"),
        (season(matches=1, anglers=30), "few"),
        (season(matches=4), "few"),
        (season(matches=14, anglers=1), "few"),
        (season(matches=30, anglers=1), "said"),
        ([replace(one, own=0, others=(0, 0, 0)) for one in season()], "few"),
        ([replace(one, own=2000) for one in season()], "alike"),
        ([replace(one, moments=(), feeds=()) for one in season()], "few"),
    ],
    ids=["none", "one match", "four", "14 days", "one angler", "no fish", "all level", "no notes"],
)
def test_a_season_that_says_nothing_says_so(days: list[AnglerDay], verdict: str) -> None:
    answer = season_work_out(days)
    assert answer.verdict == verdict
    assert (answer.effects == ()) == (verdict != "said")
    assert answer.days + len(answer.left_out) == len(days)


def test_a_bait_fed_too_seldom_is_named_and_nothing_is_said_of_it() -> None:
    days = season()
    for n in range(4):
        days[n] = replace(days[n], feeds=(*days[n].feeds, feed(40, 1, WORM)))
    worm = effects(season_work_out(days))["worm"]
    assert (worm.found, worm.days, worm.matches, worm.times) == ("few", 4, 1, None)


def test_what_an_angler_always_feeds_is_alike_and_says_nothing_of_what_it_does() -> None:
    """The better anglers feed more worm, always as much: that is them, not the worm."""
    days = [
        replace(one, feeds=(*one.feeds, feed(40, 1 + int(one.angler[1:]), WORM)))
        for one in season()
    ]
    worm = effects(season_work_out(days))["worm"]
    assert (worm.found, worm.days, worm.times) == ("alike", 45, None)


def test_baits_that_always_went_together_are_not_told_apart() -> None:
    days = []
    for one in season(works=1.0):
        caster = sum((f.amount or 0 for f in one.feeds if f.column == CASTER), Fraction(0))
        days.append(replace(one, feeds=(*one.feeds, feed(50, float(caster * 2), WORM))))
    found = effects(season_work_out(days))
    assert (found["caster"].found, found["caster"].with_) == ("together", (WORM,))
    assert (found["worm"].found, found["worm"].with_) == ("together", (CASTER,))
    assert found["hemp"].found == "unsure"


def test_a_rhythm_that_only_repeats_the_amounts_is_left_to_them() -> None:
    days = []
    for n, one in enumerate(season(works=1.0)):
        feeds = tuple(feed(30 + k * 240 / (3 + n % 4), "0.2") for k in range(4 + n % 4))
        days.append(replace(one, feeds=feeds, moments=tuple(f.second for f in feeds)))
    found = effects(season_work_out(days))
    assert (found["loose"].found, found["loose"].with_) == ("together", (CASTER,))
    assert found["caster"].found == "unsure"


def test_an_amount_nobody_feeds_is_a_slip_and_its_day_is_left_out() -> None:
    days = season()
    days[7] = replace(days[7], feeds=(*days[7].feeds, feed(60, 100)))
    answer = season_work_out(days)
    assert answer.left_out == (LeftOut(days[7].match, days[7].angler, "far"),)
    assert answer.days == 44


MOMENTS = tuple(range(600, HOURS_5, 1800))


@pytest.mark.parametrize(
    ("why", "given"),
    [
        ("not_fished", {"own": None}),
        ("few_beside", {"others": (900, 800)}),
        ("nobody_caught", {"own": 0, "others": (0, 0, 0)}),
        ("no_notes", {"feeds": (), "moments": ()}),
        ("no_feed", {"feeds": (), "moments": MOMENTS, "fish": 8}),
        ("half", {"moments": MOMENTS[:5]}),
        ("half", {"moments": MOMENTS[5:]}),
        ("half", {"moments": (*MOMENTS[:3], *MOMENTS[7:])}),
        ("half", {"feeds": (feed(-5, 2),)}),
        ("clock", {"moments": (*MOMENTS, HOURS_5 + 7_200)}),
        ("clock", {"moments": (-90_000, *MOMENTS)}),
        ("unit", {"feeds": (feed(20, None),), "moments": MOMENTS}),
        ("unit", {"feeds": (feed(20, -1),), "moments": MOMENTS}),
        ("contrary", {"own": 0, "fish": 3}),
    ],
)
def test_a_day_of_which_something_is_missing_is_left_out_with_the_reason(
    why: str, given: dict[str, Any]
) -> None:
    assert day_fed(day(**given)) == LeftOut("m1", "maud", why)  # type: ignore[arg-type]


def test_a_whole_day_tells_amounts_and_how_often_balls_and_loose_feed_went_in() -> None:
    balls = [feed(0, 2, GROUNDBAIT, ball=True), feed(0.5, "0.5", HEMP, ball=True)]
    loose = [feed(minute, "0.1") for minute in range(30, 300, 60)]
    read = day_fed(day(feeds=(*balls, *loose)))
    assert isinstance(read, DayFed)
    assert {column.key: amount for column, amount in read.fed.items()} == {
        "groundbait": 2.0,
        "hemp": 0.5,
        "caster": 0.5,
        "loose": 1.0,
        "balls": pytest.approx(0.2),
    }


@pytest.mark.parametrize(
    "broken",
    [
        {"seconds": 0},
        {"own": -1},
        {"others": (-5, 1, 2)},
    ],
)
def test_what_no_match_can_hold_is_refused(broken: dict[str, Any]) -> None:
    with pytest.raises(ValueError, match="nothing"):
        season_work_out([day(**broken)])


def test_the_same_angler_twice_in_a_match_is_refused() -> None:
    with pytest.raises(ValueError, match="once"):
        season_work_out([day(), day()])


def test_a_blank_has_a_ratio_and_twice_as_usual_is_about_twice() -> None:
    assert log_ratio(1000, [1000, 1000, 1000]) == pytest.approx(0)
    assert math.exp(log_ratio(4000, [2000] * 5)) == pytest.approx(2, rel=0.08)
    assert log_ratio(0, [1000, 1000]) < log_ratio(10, [1000, 1000]) < 0
    for own, others in ((0, [0, 0]), (5, [])):
        with pytest.raises(ValueError, match="nobody"):
            log_ratio(own, others)


def test_every_answer_is_plain_json_and_says_how_far_it_is() -> None:
    told: list[int] = []
    answer = season_work_out(season(), progress=lambda percent, _words: told.append(percent))
    body = answer.as_json()
    assert body["effects"][0]["together_with"] == [] and body["effects"][0]["step"] == "0.5"
    assert told == sorted(told) and told[-1] == 100


@pytest.mark.parametrize("seed", range(12))
def test_whatever_was_fed_and_caught_there_is_an_answer_with_its_bounds_in_order(seed: int) -> None:
    chance = random.Random(seed)
    weights = ([0, 1], [0, 0, 0, 2000], [1, 10**9], list(range(0, 9000, 7)))[seed % 4]
    amounts = (["0.1", 1000], ["0.1", "0.5"], ["0.0001", 1, 3])[seed % 3]
    columns = (CASTER, HEMP, WORM, GROUNDBAIT)[: 1 + seed % 4]
    days = [
        day(
            match,
            f"a{angler}",
            own=chance.choice(weights),
            others=tuple(chance.choice(weights) for _ in range(4)),
            feeds=tuple(
                feed(minute, chance.choice(amounts), chance.choice(columns))
                for minute in range(30, 300, 60)
            ),
        )
        for match in range(6)
        for angler in range(1 + seed % 5)
    ]
    answer = season_work_out(days)
    assert answer.days + len(answer.left_out) == len(days)
    for effect in answer.effects:
        factors = (effect.low, effect.times, effect.high)
        if effect.found in ("more", "less", "unsure"):
            assert 0 < factors[0] <= factors[1] <= factors[2] < math.inf  # type: ignore[operator]
        else:
            assert factors == (None, None, None)
