"""The mixing sheet of a plan: what goes in, what it makes, and what its balls hold."""

from __future__ import annotations

from fractions import Fraction
from typing import Any

import pytest

from bait.models import Bait, BaitKind
from bait.reads.mixing import mixing_json, mixing_shown
from bait.reads.plan_whole import WholePlan
from bait.reads.plans import plan_of_entry
from bait.reckon.limits import plan_carried
from bait.reckon.mix import MixRequest, Particles, ball_litres, mix_reckon
from bait.reckon.mixing import DEAD_MAGGOT_M, HEMP_M, MixSheet, mixing_sheets
from bait.reckon.plans import (
    BaitFacts,
    Balls,
    Feed,
    MixPart,
    PlannedMix,
    PlannedStage,
    plan_totals,
)
from bait.writes.plan_content import plan_content_parse
from bait.writes.plans import plan_save
from matches.reckon.errors import BadInput

BAITS = {
    "river-mix": BaitFacts("river-mix", "groundbait", "kg", Fraction("0.5"), Fraction(1)),
    "crumb": BaitFacts("crumb", "groundbait", "kg"),
    "leam": BaitFacts("leam", "soil", "L"),
    "hemp": BaitFacts("hemp", "particle", "pint"),
    "maggot": BaitFacts("maggot", "animal", "pint", dead=True),
    "larvae": BaitFacts("larvae", "animal", "L", family="larvae"),
}


def mix(*parts: MixPart, **figures: Any) -> PlannedMix:
    return PlannedMix("base", parts or (MixPart("river-mix", Fraction(2), "bag"),), **figures)


def opening(*feeds: tuple[str, str, str], count: int = 10, **more: Any) -> PlannedStage:
    loaded = tuple(Feed(bait, Fraction(amount), unit) for bait, amount, unit in feeds)
    return PlannedStage(
        **{"start_minute": -10, "end_minute": 0, "every_seconds": None, **more},
        feeds=loaded,
        kind="opening",
        balls=Balls(count, 80, "base"),
    )


def sheet(planned: PlannedMix, *stages: PlannedStage) -> MixSheet:
    return mixing_sheets((planned,), stages=stages, baits=BAITS)[0]


def test_bags_become_litres_by_their_density_and_soil_waits_for_the_rest() -> None:
    made = sheet(
        mix(
            MixPart("river-mix", Fraction(2), "bag"),
            MixPart("leam", Fraction(3), "L", after_rest=True),
        )
    )
    # Two bags of a kilogram at 0.5 kg a litre are four litres.
    litres = (made.dry_l, made.water_l, made.after_l, made.ready_l)
    assert litres == tuple(map(Fraction, ("4", "1.8", "3", "7")))
    assert [part.bait for part in made.dry + made.after] == ["river-mix", "leam"]
    assert made.left_l == 7 and made.missing_l == 0
    assert made.empty_balls(mm=80) == 18  # 7 L · 0.7 in balls of 0.268 L


def test_the_sheet_makes_as_much_as_counts_against_the_limit() -> None:
    planned = mix(
        MixPart("river-mix", Fraction(2), "bag"),
        MixPart("leam", Fraction(3), "L", after_rest=True),
        swell=Fraction("1.6"),
    )
    totals = plan_totals((), baits=BAITS, spare_percent=0, mixes=(planned,))
    carried = plan_carried(totals, baits=BAITS, mixes=(planned,))
    assert sum(line.litres or 0 for line in carried) == sheet(planned).ready_l == Fraction("9.4")


def test_what_nobody_can_measure_is_named_and_no_water_is_guessed() -> None:
    made = sheet(mix(MixPart("crumb", Fraction(1), "kg")), opening(("hemp", "0.1", "L")))
    assert made.unmeasured == ("crumb",)
    assert (made.dry_l, made.water_l, made.ready_l, made.left_l) == (None, None, None, None)
    assert made.empty_balls(mm=80) is None
    assert made.balls[0].holds is True


def test_the_sheet_says_what_the_calculator_says() -> None:
    made = sheet(
        mix(MixPart("leam", Fraction(7), "L"), film_mm=Fraction("0.3"), swell=Fraction("1.5")),
        opening(("hemp", "1.2", "L"), ("maggot", "0.4", "L")),
    )
    assert made.balls[0].outcome == mix_reckon(
        MixRequest(
            Fraction(7),
            Fraction("0.08"),
            10,
            load=(
                Particles(Fraction("1.2"), HEMP_M),
                Particles(Fraction("0.4"), DEAD_MAGGOT_M),
            ),
            swell=Fraction("1.5"),
            film_m=Fraction("0.0003"),
        )
    )


def test_balls_that_break_say_what_to_leave_out_and_how_many_would_hold_it() -> None:
    made = sheet(mix(), opening(("hemp", "2", "L"))).balls[0]
    most = made.outcome.load_most_l
    assert made.holds is False and most is not None
    assert (made.each_ml, made.most_each_ml) == (200, 154)
    assert made.too_much_l == 2 - most
    assert made.balls_needed == 13
    assert sheet(mix(), opening(("hemp", "2", "L"), count=13)).balls[0].holds is True
    assert sheet(mix(), opening(("hemp", "2", "L"), count=12)).balls[0].holds is False


def test_balls_with_a_load_nobody_can_measure_are_not_called_whole() -> None:
    baits = {**BAITS, "worm": BaitFacts("worm", "animal", "each")}
    stages = (opening(("worm", "20", "each")),)
    made = mixing_sheets((mix(),), stages=stages, baits=baits)[0].balls[0]
    assert (made.holds, made.unmeasured) == (None, ("worm",))


def test_a_mix_that_is_too_little_says_how_much_more_to_wet() -> None:
    made = sheet(mix(swell=Fraction(2)), opening(count=30))
    assert made.ready_l == 8
    assert made.missing_l == 30 * ball_litres(Fraction("0.08")) / Fraction("0.7") - 8
    assert made.dry_more_l == made.missing_l / 2
    assert made.water_more_l == made.dry_more_l * Fraction("0.45")


def test_balls_that_go_in_again_and_again_are_counted_each_time() -> None:
    again = opening(
        ("hemp", "0.1", "L"), count=2, start_minute=0, end_minute=60, every_seconds=1200
    )
    made = sheet(mix(), again).balls[0]
    assert (made.count, made.load[0].litres) == (6, Fraction("0.3"))
    assert made.each_ml == 50


def test_what_a_ball_takes_follows_its_size_and_what_it_is_loaded_with() -> None:
    made = sheet(mix())
    assert made.ball_mms == (80,)
    assert made.most_in_ball_ml(mm=80, size_m=HEMP_M) == 154
    assert made.most_in_ball_ml(mm=80, size_m=DEAD_MAGGOT_M) == 183
    assert made.most_in_ball_ml(mm=60, size_m=HEMP_M) == 65
    bare = sheet(mix(film_mm=Fraction(0)))
    assert bare.most_in_ball_ml(mm=80, size_m=HEMP_M) == 285  # 0.64 / 0.6 of 268 ml


def test_a_unit_that_no_longer_fits_is_refused_in_words() -> None:
    with pytest.raises(BadInput, match="does not fit"):
        sheet(mix(MixPart("leam", Fraction(3), "kg")))


def content(version: int = 0, **changes: Any) -> Any:
    raw = {
        "version": version,
        "mixes": [
            {
                "name": "base",
                "rest_minutes": 25,
                "parts": [
                    {"bait": "river-mix", "amount": "2", "unit": "bag"},
                    {"bait": "leam", "amount": "3", "unit": "L", "after_rest": True},
                ],
            }
        ],
        "stages": [
            {
                "kind": "opening",
                "line": "long",
                "start_minute": -10,
                "end_minute": 0,
                "balls": {"count": 10, "mm": 80, "mix": "base"},
                "feeds": [{"bait": "hemp", "amount": "1.2", "unit": "L"}],
            }
        ],
        **changes,
    }
    return plan_content_parse(raw)


@pytest.fixture
def mixed(world: Any) -> Any:
    """Wilmot's plan with a mix, and balls of it."""
    for key, kind, unit, density in [
        ("river-mix", BaitKind.GROUNDBAIT, "kg", "0.5"),
        ("leam", BaitKind.SOIL, "L", None),
    ]:
        world.baits[key] = Bait.objects.create(
            club=world.club,
            key=key,
            name=key.title(),
            kind=kind,
            unit=unit,
            bulk_density_kg_per_l=density,
            bag_amount=1 if density else None,
        )
    return plan_save(world.member, entry=world.entries["Wilmot"], content=content())


def whole(world: Any) -> WholePlan:
    plan = plan_of_entry(world.entries["Wilmot"])
    assert plan is not None
    return plan


def test_a_phone_takes_the_mix_with_what_each_ball_takes(world: Any, mixed: Any) -> None:
    assert mixing_json(whole(world)) == [
        {
            "name": "base",
            "rest_minutes": 25,
            "dry": [{"bait": "river-mix", "name": "River-Mix", "amount": "2", "unit": "bag"}],
            "after": [{"bait": "leam", "name": "Leam", "amount": "3", "unit": "L"}],
            "dry_l": "4",
            "water_l": "1.8",
            "ready_l": "7",
            "left_l": "4.2",
            "balls": [
                {
                    "kind": "opening",
                    "line": "long",
                    "count": 10,
                    "mm": 80,
                    "load": [{"bait": "hemp", "name": "Hemp", "amount": "1.2", "unit": "L"}],
                    "each_ml": 120,
                    "most_each_ml": 154,
                    "holds": True,
                }
            ],
            "most": [{"mm": 80, "hemp_ml": 154, "dead_maggot_ml": 183, "empty_balls": 18}],
        }
    ]


def test_a_bait_changed_after_the_plan_leaves_words_and_no_sheet(world: Any, mixed: Any) -> None:
    Bait.objects.filter(pk=world.baits["river-mix"].pk).update(bag_amount=None)
    shown = mixing_shown(world.entries["Wilmot"])
    assert shown.sheets == ()
    assert "how much a bag" in shown.faults[0].message
    assert mixing_json(whole(world)) == []
