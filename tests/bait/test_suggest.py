"""What a plan is suggested to be: tables of waters, limits and records."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction as F
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from bait.reckon.limits import LimitRule, whole_limits
from bait.reckon.mix.balls import ball_litres
from bait.reckon.plan_checks import stages_faults
from bait.reckon.plans import BaitFacts, MixPart, PlannedMix
from bait.reckon.suggest import (
    Ask,
    Known,
    Lines,
    Reason,
    Record,
    records_for_member,
    suggest,
    within_limits,
)
from bait.reckon.suggest.rules import RULES, flow_of, rule_of, warmth_of
from bait.reckon.units import UNITS

BAITS = {
    "mix": BaitFacts("mix", "groundbait", "L", F("0.5")),
    "soil": BaitFacts("soil", "soil", "L"),
    "hemp": BaitFacts("hemp", "particle", "pint"),
    "caster": BaitFacts("caster", "animal", "pint"),
    "maggot": BaitFacts("maggot", "animal", "pint"),
    "worm": BaitFacts("worm", "animal", "L", family="worm"),
}
LIMITS = whole_limits(groundbait_l=F(20), bait_l=F("2.5"))
WINTER, SUMMER = (45, 10), (190, 60)


def ask(water: tuple[int, int] = (100, 30), **more: Any) -> Ask:
    celsius, flow = water
    given: dict[str, Any] = {"minutes": 300, "baits": BAITS, "rules": LIMITS, **more}
    return Ask(celsius_tenths=Known(celsius, "given"), cm_s=Known(flow, "given"), **given)


def record(match: int, *, own: bool = True, here: bool = True, **more: Any) -> Record:
    """Two pints of caster and a pint of hemp fed, a quarter of maggot hooked, in mild water; by
    angler 1, or a mate, 2."""
    used = {("caster", "fed"): F(2), ("hemp", "fed"): F(1), ("maggot", "hooked"): F(1, 4)}
    given: dict[str, Any] = {"warmth": "mild", "minutes": 300, "used": used, **more}
    return Record(match, given.pop("angler", 1 if own else 2), own, here, **given)


def said(asked: Ask, what: str, bait: str = "", use: str = "") -> Reason | None:
    found = [
        reason
        for reason in suggest(asked).reasons
        if (reason.what, reason.bait, reason.use) == (what, bait, use)
    ]
    return found[0] if found else None


def told(asked: Ask, what: str, bait: str = "", use: str = "") -> Reason:
    found = said(asked, what, bait, use)
    assert found is not None
    return found


@pytest.mark.parametrize(
    ("water", "warmth", "flow", "balls", "every", "soil", "hemp"),
    [
        # A sixth of a heavy day in cold slow water, a quarter where it flows; all of it in warm.
        (WINTER, "cold", "slow", 4, 900, F(1, 2), F(8, 6)),
        ((79, 20), "cold", "steady", 6, 900, F(1, 2), F(2)),
        ((80, 49), "mild", "steady", 8, 600, F(2, 5), F(4)),
        (SUMMER, "warm", "fast", 8, 300, F(3, 10), F(8)),
        ((150, 19), "warm", "slow", 8, 300, F(3, 10), F(6)),
    ],
)
def test_cold_slow_water_is_fed_less_and_seldomer_than_warm_flow(
    water: tuple[int, int],
    warmth: str,
    flow: str,
    balls: int,
    every: int,
    soil: F,
    hemp: F,
) -> None:
    asked = ask(water, rules=(), spare_percent=0)
    found = suggest(asked)
    assert (found.warmth, found.flow) == (warmth, flow)
    assert told(asked, "balls").value == balls
    assert told(asked, "every_seconds").value == every
    (mix,) = found.mixes
    dry, soil_l = (
        sum(p.amount for p in mix.parts if p.after_rest is after) for after in (False, True)
    )
    assert soil_l / (dry + soil_l) == pytest.approx(float(soil), abs=0.003)
    fed = told(asked, "amount", "hemp", "fed")
    assert hemp * F(9, 10) < fed.value <= hemp
    assert (fed.by, fed.source) == ("rule", "common practice, no source")


def test_a_member_reads_of_mates_only_what_three_anglers_had() -> None:
    """What two had together would tell each what the other used."""
    corn, caster = {("corn", "fed"): F(9)}, ("caster", "fed")
    mine, mate = record(1, balls=(8, 60)), record(1, own=False, balls=(9, 60))
    assert list(records_for_member([mine, mate], least=3)) == [mine]
    third = record(1, own=False, angler=3, used={caster: F(3)} | corn)
    elsewhere = record(2, own=False, angler=4, here=False)
    colder = record(2, own=False, angler=5, warmth="cold")
    shared = list(records_for_member([mine, mate, third, elsewhere, colder], least=3))
    assert [(one.match, one.angler, set(one.used), one.balls) for one in shared] == [
        (1, 1, set(mine.used), (8, 60)),
        (1, 2, {caster}, None),
        (1, 3, {caster}, None),
    ]


def test_the_mix_makes_the_balls_and_a_little_more() -> None:
    (mix,) = suggest(ask()).mixes
    ready = sum(part.amount for part in mix.parts)
    needed = 8 * ball_litres(F(8, 100)) / mix.squeeze
    assert needed < ready <= needed * F(6, 5)


def test_the_angler_s_own_mix_keeps_its_parts_and_how_it_behaves() -> None:
    baits = {**BAITS, "crumb": BaitFacts("crumb", "groundbait", "kg", F("0.5"))}
    own = PlannedMix(
        "mine",
        (MixPart("mix", F(3), "L"), MixPart("crumb", F(1, 2), "kg"), MixPart("soil", F(9), "L")),
        swell=F("1.2"),
        water_per_dry=F("0.5"),
    )
    (mix,) = suggest(ask(baits=baits, mix=own)).mixes
    assert (mix.swell, mix.water_per_dry) == (F("1.2"), F("0.5"))
    # Three litres to one of crumb, which is half a kilo.
    parts = {part.bait: part.amount for part in mix.parts}
    assert float(parts["mix"] / (parts["crumb"] * 2)) == pytest.approx(3, abs=0.2)


@pytest.mark.parametrize(
    ("rule", "gone"),
    [
        (LimitRule("no casters", F(0), bait="caster"), {("caster", "fed")}),
        (LimitRule("no hemp", F(0), bait="hemp"), {("hemp", "fed"), ("hemp", "load")}),
        (
            LimitRule("no animals", F(0), counts="animal"),
            {("caster", "fed"), ("maggot", "fed"), ("caster", "hooked")},
        ),
        (LimitRule("no hook bait", F(0), use="hook"), {("caster", "hooked")}),
        (LimitRule("no groundbait", F(0), counts="groundbait"), {("mix", "dry"), ("soil", "soil")}),
    ],
)
def test_what_a_limit_forbids_is_never_suggested(rule: LimitRule, gone: set[Any]) -> None:
    asked = ask(rules=(*LIMITS, rule))
    assert within_limits(suggest(asked), ask=asked)
    before = {(r.bait, r.use) for r in suggest(ask()).reasons}
    after = {(r.bait, r.use) for r in suggest(asked).reasons}
    assert gone <= before
    assert not gone & after


def test_a_bait_that_cannot_be_held_against_a_limit_is_left_out_and_named() -> None:
    baits = {**BAITS, "lob": BaitFacts("lob", "animal", "each")}
    records = tuple(record(n, used={("lob", "fed"): F(30)}) for n in (1, 2))
    found = suggest(ask(baits=baits, records=records))
    assert found.left_out == ("lob",)
    free = ask(baits=baits, records=records, rules=(), spare_percent=0)
    assert told(free, "amount", "lob", "fed").value in range(25, 31)


def test_a_limit_cuts_and_the_reason_says_from_what() -> None:
    asked = ask(SUMMER)
    caster = told(asked, "amount", "caster", "fed")
    assert caster.cut and caster.wished == 4
    assert within_limits(suggest(asked), ask=asked)
    # The litres of the spare count too.
    more = told(replace(asked, spare_percent=50), "amount", "caster", "fed")
    assert more.value < caster.value


def test_no_records_and_an_unknown_venue_are_called_common_practice() -> None:
    found = suggest(ask(records=()))
    assert {reason.by for reason in found.reasons} == {"rule", "geometry"}
    assert all(reason.source for reason in found.reasons if reason.by == "rule")


@pytest.mark.parametrize(
    ("records", "by"),
    [
        ([record(1), record(2)], "own_here"),
        # One match alone teaches nothing; the team's at the venue come before one's own elsewhere.
        ([record(1)], "rule"),
        ([record(1), record(1)], "rule"),
        ([record(1), record(2, own=False)], "team_here"),
        ([record(1, here=False), record(2, here=False)], "own"),
        (
            [
                record(1, here=False),
                record(2, here=False),
                record(3, own=False),
                record(4, own=False),
            ],
            "team_here",
        ),
        ([record(1, own=False, here=False), record(2, own=False, here=False)], "rule"),
        # Warm water says nothing of mild.
        ([record(1, warmth="warm"), record(2, warmth="warm")], "rule"),
    ],
)
def test_the_nearest_records_come_first(records: list[Record], by: str) -> None:
    caster = told(ask(records=tuple(records)), "amount", "caster", "fed")
    assert caster.by == by
    assert (caster.matches == 2) == (by != "rule")


def test_records_are_taken_in_the_middle_and_by_the_hour() -> None:
    amounts = (F(1), F(2), F(3))
    records = tuple(
        record(n, used={("caster", "fed"): amount, ("hemp", "fed"): F(3)}, told=n == 1)
        for n, amount in enumerate(amounts)
    )
    asked = ask(records=records, minutes=150, spare_percent=0)
    caster = told(asked, "amount", "caster", "fed")
    assert (caster.low, caster.high, caster.matches, caster.told) == (F(1, 2), F(3, 2), 3, 1)
    assert F(9, 10) <= caster.value <= 1
    assert not caster.contradicts
    # Nobody fed maggots, so nobody is told to.
    assert said(asked, "amount", "maggot", "fed") is None


def test_hook_bait_that_all_came_back_leaves_what_is_usual() -> None:
    used = {("caster", "fed"): F(2), ("maggot", "hooked"): F(0)}
    asked = ask(records=tuple(record(n, used=used, told=True) for n in (1, 2)))
    assert told(asked, "amount", "caster", "hooked").by == "rule"
    assert said(asked, "amount", "maggot", "hooked") is None


def test_records_that_contradict_each_other_say_so() -> None:
    records = tuple(
        record(n, used={("caster", "fed"): F(amount)}) for n, amount in ((1, "0.5"), (2, "3"))
    )
    assert told(ask(records=records), "amount", "caster", "fed").contradicts
    # Three times is not yet more than three times.
    near = tuple(record(n, used={("caster", "fed"): F(n)}) for n in (1, 3))
    assert not told(ask(records=near), "amount", "caster", "fed").contradicts


def test_balls_are_the_middle_of_the_records() -> None:
    records = tuple(record(n, balls=(count, 60)) for n, count in ((1, 5), (2, 12), (3, 10)))
    asked = ask(records=records)
    assert (told(asked, "balls").value, told(asked, "ball_mm").value) == (10, 60)
    assert told(asked, "balls").by == "own_here"


def test_a_second_line_is_fed_from_where_the_review_says() -> None:
    lines = Lines("long", "short", 90, by="review", match="June Open")
    found = suggest(ask(lines=lines))
    loose = [(s.kind, s.line, s.start_minute, s.end_minute) for s in found.stages[1:3]]
    assert loose == [("feed", "long", 0, 90), ("switch", "short", 90, 270)]
    assert (told(ask(lines=lines), "switch").by, said(ask(), "switch")) == ("review", None)


@pytest.mark.parametrize("minute", [0, 270, 400])
def test_a_second_line_at_either_end_leaves_one_stage(minute: int) -> None:
    found = suggest(ask(lines=Lines("long", "short", minute)))
    assert len([stage for stage in found.stages if stage.every_seconds]) == 1


def test_small_amounts_are_fed_seldomer_rather_than_not_at_all() -> None:
    records = tuple(record(n, used={("caster", "fed"): F(1, 4)}) for n in (1, 2))
    asked = ask(records=records, rules=())
    assert told(asked, "amount", "caster", "fed").value > F(1, 5)
    every = told(asked, "every_seconds")
    assert (every.value, every.by) == (2400, "measurable")


def test_every_rule_holds_for_some_water_and_has_a_source() -> None:
    met = {
        rule_of(rule.what, warmth=warmth_of(celsius), flow=flow_of(flow))
        for rule in RULES
        for celsius in (45, 100, 190)
        for flow in (10, 30, 60)
    }
    assert met == set(RULES)
    assert all(rule.source and rule.value > 0 for rule in RULES)


AMOUNTS = st.fractions(0, 30, max_denominator=20)
RULE = st.builds(
    LimitRule,
    name=st.just("part"),
    allowed_l=AMOUNTS,
    counts=st.sampled_from(("animal", "groundbait", "any")),
    family=st.sampled_from(("", "", "worm")),
    bait=st.sampled_from((None, None, *BAITS)),
    use=st.sampled_from(("any", "feed", "hook")),
    form=st.sampled_from(("any", "any", "live", "dead")),
)
USED = st.dictionaries(
    st.tuples(st.sampled_from(tuple(BAITS)), st.sampled_from(("fed", "load", "hooked"))),
    AMOUNTS.filter(bool),
    min_size=1,
)
FACTS = st.builds(
    lambda unit, density: (unit, density),
    st.sampled_from(tuple(UNITS)),
    st.sampled_from((None, F("0.6"))),
)


def test_soil_that_balls_were_loaded_with_too_counts_once_in_each_way() -> None:
    asked = ask(
        (80, 0),
        minutes=1,
        spare_percent=0,
        rules=whole_limits(groundbait_l=F(1), bait_l=None),
        records=tuple(record(n, used={("soil", "load"): F(1)}, balls=(9, 70)) for n in (1, 2)),
    )
    assert within_limits(suggest(asked), ask=asked)


@given(
    rules=st.lists(RULE, max_size=4),
    wholes=st.tuples(st.none() | AMOUNTS, st.none() | AMOUNTS),
    records=st.lists(USED, max_size=3),
    water=st.tuples(st.integers(0, 300), st.integers(0, 150)),
    minutes=st.integers(1, 600),
    spare=st.integers(0, 100),
    units=st.lists(FACTS, min_size=len(BAITS), max_size=len(BAITS)),
    line=st.none() | st.integers(-30, 700),
)
def test_no_limit_is_ever_broken_and_the_plan_can_be_saved(
    rules: list[LimitRule],
    wholes: tuple[F | None, F | None],
    records: list[dict[tuple[str, str], F]],
    water: tuple[int, int],
    minutes: int,
    spare: int,
    units: list[tuple[str, F | None]],
    line: int | None,
) -> None:
    baits = {
        key: replace(facts, unit=unit, density=density)
        for (key, facts), (unit, density) in zip(BAITS.items(), units, strict=True)
    }
    asked = ask(
        water,
        baits=baits,
        rules=(*whole_limits(groundbait_l=wholes[0], bait_l=wholes[1]), *rules),
        records=tuple(record(n, used=used, balls=(9, 70)) for n, used in enumerate(records)),
        minutes=minutes,
        spare_percent=spare,
        lines=None if line is None else Lines("long", "short", line),
    )
    found = suggest(asked)
    assert within_limits(found, ask=asked)
    assert not stages_faults(found.stages, length_minutes=minutes, names={})
    assert found == suggest(asked)
