"""A match's limits in their parts, and what to leave at home so that a plan fits."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction as F

from hypothesis import given
from hypothesis import strategies as st

from bait.reckon.limit_drops import (
    STEPS,
    Cap,
    amount_measurable,
    caps_of_all,
    caps_of_each,
    caps_of_one,
    carried_capped,
    spare_fitting,
)
from bait.reckon.limits import (
    Carried,
    LimitRule,
    LimitUse,
    limit_use,
    limits_use,
    plan_carried,
    whole_limits,
)
from bait.reckon.plans import (
    BaitFacts,
    Balls,
    Feed,
    MixPart,
    PlannedMix,
    PlannedStage,
    plan_totals,
)
from bait.reckon.units import amount_convert

PINT = F("0.56826125")  # UK Weights and Measures Act 1985
BAITS = {
    "caster": BaitFacts("caster", "animal", "pint"),
    "maggot": BaitFacts("maggot", "animal", "pint", F("0.65")),
    "dead-maggot": BaitFacts("dead-maggot", "animal", "kg", F("0.65"), dead=True),
    "larvae": BaitFacts("larvae", "animal", "L", family="larvae"),
    "worm": BaitFacts("worm", "animal", "each", family="worm"),
    "hemp": BaitFacts("hemp", "particle", "pint"),
    "base": BaitFacts("base", "groundbait", "kg", F("0.5"), bag=F(1)),
    "crumb": BaitFacts("crumb", "groundbait", "L"),
    "leam": BaitFacts("leam", "soil", "L"),
    "pellet": BaitFacts("pellet", "other", "g", F("0.7")),
}
LARVAE = LimitRule("larvae", F(1), counts="animal", family="larvae")
LARVAE_HOOK = LimitRule("larvae, hook", F("0.5"), counts="animal", family="larvae", use="hook")
WHOLES = whole_limits(groundbait_l=F(20), bait_l=F("2.5"))


def feeds(*what: tuple[str, str, str]) -> tuple[Feed, ...]:
    return tuple(Feed(bait, F(amount), unit) for bait, amount, unit in what)


def stage(kind: str, *what: tuple[str, str, str], balls: str | None = None) -> PlannedStage:
    made = Balls(10, 80, balls) if balls else None
    return PlannedStage(0, 10, None, feeds(*what), kind=kind, balls=made)


def mix(name: str, *parts: tuple[str, str, str, bool], swell: str = "1") -> PlannedMix:
    made = tuple(MixPart(b, F(a), unit, after_rest=rest) for b, a, unit, rest in parts)
    return PlannedMix(name, made, swell=F(swell))


def carried(
    *stages: PlannedStage, mixes: tuple[PlannedMix, ...] = (), spare: int = 0
) -> tuple[Carried, ...]:
    totals = plan_totals(stages, baits=BAITS, spare_percent=spare, mixes=mixes)
    return plan_carried(totals, baits=BAITS, mixes=mixes)


def used(rule: LimitRule, *stages: PlannedStage, spare: int = 0) -> LimitUse:
    return limit_use(rule, carried=carried(*stages, spare=spare), baits=BAITS)


def kept(caps: tuple[Cap, ...]) -> list[tuple[str, F]]:
    return [(cap.bait, cap.kept) for cap in caps]


def test_a_part_breaks_though_the_whole_is_under() -> None:
    # 0.6 L for the hook and 0.3 L others: the hook part is broken, the litre in all is not
    # (limits of the Polish federation, 2023).
    stages = [stage("feed", ("larvae", "0.3", "L")), stage("hook", ("larvae", "0.6", "L"))]
    whole, hook = used(LARVAE, *stages), used(LARVAE_HOOK, *stages)
    assert (whole.used_l, whole.within) == (F("0.9"), True)
    assert (hook.used_l, hook.within, hook.over_l) == (F("0.6"), False, F("0.1"))


def test_exactly_a_part_is_in_and_a_hair_more_is_over() -> None:
    assert used(LARVAE_HOOK, stage("hook", ("larvae", "0.5", "L"))).within is True
    assert used(LARVAE_HOOK, stage("hook", ("larvae", "0.5001", "L"))).within is False


def test_ready_groundbait_is_what_the_dry_mix_swells_to_with_soil_and_particles() -> None:
    # 3 kg dry at 0.5 kg/L are 6 L; at a swell of 1.5 they make 9 L ready, and 2 L soil go in after.
    base = mix("base", ("base", "3", "bag", False), ("leam", "2", "L", True), swell="1.5")
    lines = carried(
        stage("opening", ("hemp", "2", "pint"), balls="base"),
        stage("feed", ("crumb", "1", "L"), ("hemp", "1", "pint")),
        mixes=(base,),
    )
    ground = limit_use(WHOLES[0], carried=lines, baits=BAITS)
    assert ground.used_l == 9 + 2 + 1 + 3 * PINT
    assert ground.unjudged == ()


def test_soil_and_animal_bait_in_a_mix_do_not_swell() -> None:
    base = mix(
        "base",
        ("crumb", "4", "L", False),
        ("dead-maggot", "0.65", "kg", False),
        ("leam", "2", "L", True),
        swell="2",
    )
    lines = carried(mixes=(base,))
    ground, animal = (limit_use(rule, carried=lines, baits=BAITS) for rule in WHOLES)
    assert (ground.used_l, animal.used_l) == (10, 1)


def test_each_mix_swells_the_same_groundbait_its_own_way_and_the_spare_counts() -> None:
    two = (
        mix("base", ("crumb", "4", "L", False), swell="2"),
        mix("light", ("crumb", "2", "L", False), swell="0.5"),
    )
    lines = carried(stage("feed", ("crumb", "1", "L")), mixes=two, spare=10)
    ground = limit_use(WHOLES[0], carried=lines, baits=BAITS)
    assert ground.used_l == F("1.1") * (8 + 1 + 1)


def test_animal_bait_loaded_into_groundbait_counts_as_bait() -> None:
    # Polish federation 2023 (an official text read with a little doubt).
    base = mix("base", ("crumb", "4", "L", False))
    lines = carried(
        stage("opening", ("caster", "2", "pint"), ("pellet", "700", "g"), balls="base"),
        mixes=(base,),
    )
    ground, animal = (limit_use(rule, carried=lines, baits=BAITS) for rule in WHOLES)
    # What is neither, such as pellets, is part of the groundbait once it is loaded into it.
    assert (ground.used_l, animal.used_l) == (4 + 1, 2 * PINT)


def test_parts_by_form_bait_and_use_count_what_they_name() -> None:
    stages = [
        stage("feed", ("maggot", "1", "pint"), ("dead-maggot", "1.3", "kg")),
        stage("hook", ("maggot", "0.5", "pint")),
    ]
    rules = {
        "dead": LimitRule("dead", F(9), counts="animal", form="dead"),
        "live": LimitRule("live", F(9), counts="animal", form="live"),
        "hook": LimitRule("hook", F(9), use="hook"),
        "feed": LimitRule("feed", F(9), use="feed", bait="maggot"),
    }
    found = {name: used(rule, *stages).used_l for name, rule in rules.items()}
    assert found == {"dead": 2, "live": PINT * 3 / 2, "hook": PINT / 2, "feed": PINT}


def test_groundbait_is_neither_live_nor_dead() -> None:
    live = LimitRule("live", F(1), form="live")
    assert used(live, stage("feed", ("crumb", "5", "L"))).lines == ()


def test_what_is_forbidden_is_broken_by_any_of_it_even_unmeasured() -> None:
    ban = LimitRule("no worms", F(0), family="worm")
    assert used(ban, stage("feed", ("caster", "1", "pint"))).within is True
    broken = used(ban, stage("feed", ("worm", "3", "each")))
    assert (broken.within, broken.over_l, broken.unjudged) == (False, 0, ("worm",))
    assert kept(caps_of_each(broken)) == [("worm", 0)]
    assert caps_of_one(broken) == ()


def test_parts_stand_after_the_two_wholes() -> None:
    totals = plan_totals([stage("hook", ("larvae", "0.6", "L"))], baits=BAITS, spare_percent=0)
    wholes = whole_limits(groundbait_l=None, bait_l=F("2.5"))
    found = limits_use([*wholes, LARVAE, LARVAE_HOOK], totals=totals, baits=BAITS)
    assert [(use.name, use.within) for use in found] == [
        ("groundbait", None),
        ("bait", True),
        ("larvae", True),
        ("larvae, hook", False),
    ]


def test_what_is_kept_can_be_measured() -> None:
    assert amount_measurable(F("4.3993"), unit="pint") == F("4.3")
    assert amount_measurable(F("0.2599"), unit="L") == F("0.25")
    assert amount_measurable(F(0), unit="each") == 0


def test_the_least_to_leave_out_of_one_bait_is_named_first() -> None:
    # 2.5 L are 4.399 pints: with 1 pint of maggot 3.399 pints of caster are left.
    over = used(WHOLES[1], stage("feed", ("caster", "3.7", "pint"), ("maggot", "1", "pint")))
    ways = caps_of_one(over)
    assert kept(ways) == [("caster", F("3.3")), ("maggot", F("0.6"))]
    assert [cap.left_out for cap in ways] == [F("0.4"), F("0.4")]


def test_no_one_bait_is_enough_where_the_others_break_it_alone() -> None:
    over = used(WHOLES[1], stage("feed", ("caster", "5", "pint"), ("maggot", "6", "pint")))
    assert caps_of_one(over) == ()
    # 4.3993 of 11 pints: 1.9997 and 2.3996, rounded down; neither can be raised by 0.1.
    assert kept(caps_of_each(over)) == [("caster", F("2")), ("maggot", F("2.3"))]


def test_less_spare_is_enough_where_the_plan_itself_fits() -> None:
    feed = stage("feed", ("caster", "4", "pint"))
    over = used(WHOLES[1], feed, spare=15)
    assert spare_fitting(over, spare_percent=15) == 9  # 4.36 pints; 4.4 are over
    assert used(WHOLES[1], feed, spare=9).within is True
    assert used(WHOLES[1], feed, spare=10).within is False
    assert (
        spare_fitting(used(WHOLES[1], stage("feed", ("caster", "5", "pint"))), spare_percent=0)
        is None
    )


def test_a_cap_says_which_mix_where_a_bait_goes_into_two() -> None:
    two = (
        mix("base", ("crumb", "14", "L", False), swell="2"),
        mix("light", ("crumb", "2", "L", False)),
    )
    over = limit_use(WHOLES[0], carried=carried(mixes=two), baits=BAITS)
    assert [(cap.mixes, cap.kept) for cap in caps_of_one(over)] == [(("base",), F(9))]


def test_to_fit_all_the_narrow_limits_come_first_and_nothing_is_left_out_twice() -> None:
    lines = carried(
        stage("feed", ("larvae", "0.6", "L"), ("caster", "3", "pint")),
        stage("hook", ("larvae", "0.6", "L")),
    )
    rules = (*WHOLES, LARVAE, LARVAE_HOOK)
    # For the hook 0.5 L; then 1 L and 1.7048 L of caster are in proportion 0.9243 L and 2.7729
    # pints; rounded down to 0.9 and 2.7 there is room for a tenth of a pint more.
    caps = caps_of_all(rules, carried=lines, baits=BAITS)
    assert [(cap.bait, cap.use, cap.kept) for cap in caps] == [
        ("larvae", "hook", F("0.5")),
        ("caster", "any", F("2.8")),
        ("larvae", "any", F("0.9")),
    ]
    assert all_fit(rules, carried_capped(lines, caps=caps))


# Laws ------------------------------------------------------------------------------------------


def all_fit(rules: tuple[LimitRule, ...], lines: tuple[Carried, ...]) -> bool:
    uses = [limit_use(rule, carried=lines, baits=BAITS) for rule in rules]
    return not any(use.within is False for use in uses)


amounts = st.integers(1, 60_000).map(lambda n: F(n, 10_000))


@st.composite
def lines_carried(draw: st.DrawFn) -> tuple[Carried, ...]:
    keys = draw(
        st.lists(
            st.tuples(st.sampled_from(sorted(BAITS)), st.sampled_from(["feed", "hook", "mix"])),
            min_size=1,
            max_size=9,
            unique=True,
        )
    )
    found = []
    for bait, use in keys:
        facts = BAITS[bait]
        each = amount_convert(F(1), unit=facts.unit, to="L", density=facts.density)
        swells = use == "mix" and facts.kind == "groundbait" and each is not None
        for name in draw(st.sampled_from([["base"], ["base", "light"]])) if swells else [""]:
            swell = draw(st.integers(30, 300).map(lambda n: F(n, 100))) if name else F(1)
            each_l = None if each is None else each * swell
            amount = draw(amounts) * (100 if facts.unit in ("g", "each") else 1)
            found.append(Carried(bait, use, name, facts.unit, amount, each_l))
    return tuple(found)


@st.composite
def limit_rules(draw: st.DrawFn) -> LimitRule:
    return LimitRule(
        "made up",
        draw(st.integers(0, 800).map(lambda n: F(n, 100))),
        counts=draw(st.sampled_from(["any", "animal", "groundbait"])),
        family=draw(st.sampled_from(["", "", "larvae", "worm"])),
        bait=draw(st.sampled_from([None, None, "caster", "crumb"])),
        use=draw(st.sampled_from(["any", "any", "feed", "hook"])),
        form=draw(st.sampled_from(["any", "any", "live", "dead"])),
    )


@given(lines=lines_carried(), rule=limit_rules())
def test_every_way_to_fit_really_fits_and_a_step_less_left_out_does_not(
    lines: tuple[Carried, ...], rule: LimitRule
) -> None:
    use = limit_use(rule, carried=lines, baits=BAITS)
    ways = [(cap,) for cap in caps_of_one(use)] + [caps_of_each(use)]
    assert bool(ways[-1]) == (use.within is False)
    for caps in ways:
        assert all_fit((rule,), carried_capped(lines, caps=caps))
        for at, cap in enumerate(caps):
            assert 0 <= cap.kept < cap.planned
            assert cap.kept % STEPS[cap.unit] == 0
            more = replace(cap, kept=min(cap.planned, cap.kept + STEPS[cap.unit]))
            looser = (*caps[:at], more, *caps[at + 1 :])
            assert not all_fit((rule,), carried_capped(lines, caps=looser))


@given(lines=lines_carried(), rules=st.lists(limit_rules(), min_size=1, max_size=5))
def test_the_way_to_fit_all_limits_fits_every_one(
    lines: tuple[Carried, ...], rules: list[LimitRule]
) -> None:
    caps = caps_of_all(rules, carried=lines, baits=BAITS)
    assert bool(caps) == (not all_fit(tuple(rules), lines))
    assert all_fit(tuple(rules), carried_capped(lines, caps=caps))
    assert all_fit(tuple(rules), carried_capped(lines, caps=caps[::-1]))


@given(
    planned=st.dictionaries(
        st.sampled_from(["caster", "maggot", "larvae", "dead-maggot"]), amounts, min_size=1
    ),
    spare=st.integers(0, 100),
)
def test_a_plan_written_anew_by_what_to_leave_out_fits(planned: dict[str, F], spare: int) -> None:
    def use_of(amounts: dict[str, F], percent: int) -> LimitUse:
        what = tuple(Feed(b, a, BAITS[b].unit) for b, a in amounts.items() if a)
        stages = [PlannedStage(0, 10, None, what)]
        totals = plan_totals(stages, baits=BAITS, spare_percent=percent)
        return limits_use(WHOLES, totals=totals, baits=BAITS)[1]

    use = use_of(planned, spare)
    for caps in [*((cap,) for cap in caps_of_one(use)), caps_of_each(use)]:
        left = {cap.bait: cap.kept / F(100 + spare, 100) for cap in caps}
        assert use_of({**planned, **left}, spare).within is True
    less = spare_fitting(use, spare_percent=spare)
    if less is not None:
        assert use_of(planned, less).within is True
        assert use_of(planned, less + 1).within is False
