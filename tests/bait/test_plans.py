"""What a plan comes to, and what it uses of a match's limits."""

from __future__ import annotations

from fractions import Fraction as F

import pytest

from bait.reckon.limits import LimitUse, limits_use, whole_limits
from bait.reckon.plans import (
    BaitFacts,
    Feed,
    PlannedStage,
    amount_text,
    plan_totals,
    throws_count,
)
from matches.reckon.errors import BadInput

BAITS = {
    "caster": BaitFacts("caster", "animal", "pint"),
    "maggot": BaitFacts("maggot", "animal", "pint", F("0.65")),
    "hemp": BaitFacts("hemp", "particle", "pint"),
    "base": BaitFacts("base", "groundbait", "L"),
    "molehill": BaitFacts("molehill", "soil", "L"),
    "crumb": BaitFacts("crumb", "groundbait", "kg"),
    "worm": BaitFacts("worm", "animal", "each"),
    "pellet": BaitFacts("pellet", "other", "g"),
}


WHOLES = whole_limits(groundbait_l=F(20), bait_l=F("2.5"))


def stage(start: int, end: int, every: int | None, *feeds: tuple[str, str, str]) -> PlannedStage:
    return PlannedStage(start, end, every, tuple(Feed(b, F(a), u) for b, a, u in feeds))


def totals(*stages: PlannedStage, spare: int = 0) -> dict[str, F]:
    return {t.bait: t.with_spare for t in plan_totals(stages, baits=BAITS, spare_percent=spare)}


def use(*stages: PlannedStage, spare: int = 0) -> tuple[LimitUse, ...]:
    found = plan_totals(stages, baits=BAITS, spare_percent=spare)
    return limits_use(WHOLES, totals=found, baits=BAITS)


def faults(*stages: PlannedStage, spare: int = 0) -> list[str]:
    with pytest.raises(BadInput) as refused:
        plan_totals(stages, baits=BAITS, spare_percent=spare)
    return [fault.pointer for fault in refused.value.faults]


@pytest.mark.parametrize(
    ("start", "end", "every", "throws"),
    [
        (0, 10, None, 1),
        (0, 10, 60, 10),  # at 0, 1 … 9 minutes: the end is not a throw
        (0, 10, 61, 10),
        (0, 10, 599, 2),
        (0, 10, 600, 1),
        (0, 10, 601, 1),
        (5, 5, 60, 1),  # no time at all is still the throw at its start
        (-10, 0, 120, 5),
        (0, 300, 240, 75),
    ],
)
def test_a_rhythm_throws_at_the_start_and_on_while_before_the_end(
    start: int, end: int, every: int | None, throws: int
) -> None:
    assert throws_count(stage(start, end, every)) == throws


def test_a_whole_amount_counts_once_and_a_rhythm_each_throw() -> None:
    assert totals(
        stage(-10, 0, None, ("base", "7", "L"), ("hemp", "1", "pint")),
        stage(0, 300, 240, ("caster", "0.04", "pint"), ("hemp", "0.02", "pint")),
    ) == {"base": 7, "caster": 3, "hemp": F("2.5")}


def test_spare_is_added_exactly() -> None:
    assert totals(stage(0, 10, None, ("caster", "2.5", "pint")), spare=15) == {"caster": F("2.875")}


def test_other_units_are_turned_into_the_baits_own_exactly() -> None:
    litre = stage(0, 10, None, ("caster", "0.5682", "L"))
    assert totals(litre) == {"caster": F("0.5682") / F("0.56826125")}
    kilo = stage(0, 10, None, ("maggot", "0.65", "kg"))
    assert totals(kilo) == {"maggot": 1 / F("0.56826125")}
    assert totals(stage(0, 10, None, ("crumb", "2", "lb"))) == {"crumb": F("0.90718474")}


def test_text_is_rounded_up_at_the_fourth_place() -> None:
    assert [amount_text(F(1, 3)), amount_text(F(3)), amount_text(F("0.12345"))] == [
        "0.3334",
        "3",
        "0.1235",
    ]


def test_units_that_do_not_fit_are_refused_where_they_stand() -> None:
    assert faults(
        stage(0, 10, None, ("base", "1", "L"), ("caster", "1", "kg")),
        stage(0, 10, None, ("worm", "1", "L")),
    ) == ["/stages/0/feeds/1/unit", "/stages/1/feeds/0/unit"]


def test_unknown_baits_and_repeats_are_refused() -> None:
    assert faults(
        stage(0, 10, None, ("bloodworm", "1", "L"), ("hemp", "1", "L"), ("hemp", "1", "L"))
    ) == ["/stages/0/feeds/2/bait", "/stages/0/feeds/0/bait"]


@pytest.mark.parametrize(
    ("wrong", "pointer"),
    [
        (stage(0, 300, 1, ("hemp", "0.01", "pint")), "/stages/0/every_seconds"),
        (stage(0, 10, 0, ("hemp", "0.01", "pint")), "/stages/0/every_seconds"),
        (stage(10, 0, None, ("hemp", "1", "pint")), "/stages/0/end_minute"),
        (stage(0, 5000, 3600, ("hemp", "1", "pint")), "/stages/0/start_minute"),
        (stage(0, 10, None, ("hemp", "0", "pint")), "/stages/0/feeds/0/amount"),
        (stage(0, 10, None, ("hemp", "-1", "pint")), "/stages/0/feeds/0/amount"),
        (stage(0, 300, 60, ("base", "4", "L")), "/stages/0/feeds/0/amount"),
        (stage(0, 10, None, ("worm", "100001", "each")), "/stages/0/feeds/0/amount"),
    ],
)
def test_endless_and_absurd_plans_are_refused(wrong: PlannedStage, pointer: str) -> None:
    assert faults(wrong) == [pointer]


def test_spare_beyond_double_is_refused() -> None:
    assert faults(stage(0, 10, None, ("hemp", "1", "L")), spare=101) == ["/spare_percent"]


def test_exactly_at_the_limit_is_in_and_a_hair_above_is_over() -> None:
    # 20.0 is in, 20.01 is over: one federation's published limits for adults (2023).
    at, _ = use(stage(0, 10, None, ("base", "12", "L"), ("molehill", "8", "L")))
    assert (at.used_l, at.within, at.over_l) == (20, True, 0)
    over, _ = use(stage(0, 10, None, ("base", "12", "L"), ("molehill", "8.01", "L")))
    assert (over.within, over.over_l) == (False, F("0.01"))


def test_pints_are_turned_into_litres_exactly_and_spare_counts() -> None:
    # 2.5 L = 4.399385 pints; a pint is 0.56826125 L (UK Weights and Measures Act 1985).
    _, within = use(stage(0, 10, None, ("caster", "4.3993", "pint")))
    assert (within.used_l, within.within) == (F("4.3993") * F("0.56826125"), True)
    _, over = use(stage(0, 10, None, ("caster", "4.3994", "pint")))
    assert over.within is False
    _, spare = use(stage(0, 10, None, ("caster", "4", "pint")), spare=10)
    assert spare.within is False


def test_hemp_counts_with_groundbait_and_others_with_neither() -> None:
    ground, animal = use(stage(0, 10, None, ("hemp", "2", "pint"), ("pellet", "500", "g")))
    assert (ground.used_l, animal.used_l) == (F("1.1365225"), 0)
    assert ground.unjudged == animal.unjudged == ()


def test_what_is_not_in_litres_cannot_be_judged_and_is_named() -> None:
    ground, animal = use(stage(0, 10, None, ("crumb", "2", "kg"), ("worm", "80", "each")))
    assert (ground.within, ground.unjudged) == (None, ("crumb",))
    assert (animal.within, animal.unjudged) == (None, ("worm",))
    over, _ = use(stage(0, 10, None, ("crumb", "2", "kg"), ("base", "21", "L")))
    assert (over.within, over.unjudged) == (False, ("crumb",))


def test_without_a_limit_there_is_nothing_to_be_within() -> None:
    found = plan_totals([stage(0, 10, None, ("base", "90", "L"))], baits=BAITS, spare_percent=0)
    rules = whole_limits(groundbait_l=None, bait_l=None)
    ground, _ = limits_use(rules, totals=found, baits=BAITS)
    assert (ground.within, ground.over_l, ground.used_l) == (None, 0, 90)


def test_a_limit_of_nothing_is_broken_by_anything() -> None:
    found = plan_totals([stage(0, 1, None, ("base", "1", "L"))], baits=BAITS, spare_percent=0)
    rules = whole_limits(groundbait_l=F(0), bait_l=None)
    ground, _ = limits_use(rules, totals=found, baits=BAITS)
    assert (ground.within, ground.over_l) == (False, 1)
