"""The mix calculator: the shared cases, and the laws that hold for every mix."""

from __future__ import annotations

import json
import random
from dataclasses import replace
from fractions import Fraction
from pathlib import Path
from typing import Any

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from bait.reckon.mix import (
    MIX_EXAMPLE,
    MIX_EXAMPLE_ANSWER,
    MixRequest,
    Particles,
    SqueezeTest,
    ball_litres,
    mix_parse,
    mix_reckon,
    mix_work_out,
    squeeze_reckon,
)
from matches.reckon.errors import BadInput

CASES = json.loads((Path(__file__).parents[1] / "cases" / "mix.json").read_text(encoding="utf-8"))


@pytest.mark.parametrize("case", [c for c in CASES if "output" in c], ids=lambda c: c["why"])
def test_case_is_worked_out(case: dict[str, Any]) -> None:
    assert mix_work_out(mix_parse(case["input"])).as_json() == case["output"]


@pytest.mark.parametrize("case", [c for c in CASES if "errors" in c], ids=lambda c: c["why"])
def test_case_is_refused(case: dict[str, Any]) -> None:
    with pytest.raises(BadInput) as refused:
        mix_parse(case["input"])
    assert sorted(fault.pointer for fault in refused.value.faults) == case["errors"]
    assert all(fault.message.endswith(".") for fault in refused.value.faults)


def test_the_worked_example_has_the_figures_of_an_independent_program() -> None:
    answer = mix_work_out(mix_parse(MIX_EXAMPLE)).as_json()
    assert answer == MIX_EXAMPLE_ANSWER
    assert (answer["ready_l"], answer["water_l"]) == (10.0, 3.15)
    assert (answer["balls_possible"], answer["holds"]) == (35, True)
    rounded = {"ball_l": 0.26808, "load_fraction": 0.26857, "load_fraction_max": 0.34513}
    for key, value in {**rounded, "load_max_l": 1.5420}.items():
        assert answer[key] == pytest.approx(value, abs=5e-6 if key != "load_max_l" else 5e-5)


def test_a_list_beyond_any_mix_is_refused_before_it_is_added_up() -> None:
    dry = [{"name": f"d{n}", "amount": "1", "unit": "L"} for n in range(101)]
    with pytest.raises(BadInput, match="Use at most 100"):
        mix_parse({"dry": dry, "ball_diameter_m": 0.08, "balls": 1})


def hundredths(least: int, most: int) -> st.SearchStrategy[Fraction]:
    return st.integers(least, most).map(lambda n: Fraction(n, 100))


def tenths_of_mm(least: int, most: int) -> st.SearchStrategy[Fraction]:
    return st.integers(least, most).map(lambda n: Fraction(n, 10_000))


mixes = st.builds(
    MixRequest,
    dry_l=hundredths(0, 3000),
    ball_m=tenths_of_mm(300, 1500),
    balls=st.integers(1, 60),
    soil_l=hundredths(0, 2000),
    load=st.lists(st.builds(Particles, hundredths(0, 400), tenths_of_mm(5, 150)), max_size=3).map(
        tuple
    ),
    swell=hundredths(50, 250),
    squeeze=hundredths(40, 100),
    packing=hundredths(40, 75),
    film_m=tenths_of_mm(0, 40),
)


def loaded(mix: MixRequest, litres: Fraction) -> MixRequest:
    """The same mix with so much of its first particles and nothing else."""
    assume(mix.load)
    return replace(mix, load=(Particles(litres, mix.load[0].size_m),))


@given(mixes)
def test_a_ball_is_its_load_and_its_mix(mix: MixRequest) -> None:
    worked = mix_reckon(mix)
    solid = mix.load_l * mix.packing
    if worked.load_fraction <= 1:
        assert worked.used_l * mix.squeeze + solid == worked.ball_l * mix.balls
    assert worked.ready_left_l + worked.used_l == worked.ready_l


@given(mixes)
def test_so_many_balls_can_be_made_and_not_one_more(mix: MixRequest) -> None:
    worked = mix_reckon(mix)
    a_ball = worked.used_l / mix.balls
    assume(a_ball)
    assert worked.balls_possible * a_ball <= worked.ready_l
    assert (worked.balls_possible + 1) * a_ball > worked.ready_l


@given(mixes, hundredths(0, 400), hundredths(0, 400))
def test_what_holds_a_load_holds_a_smaller_one(mix: MixRequest, a: Fraction, b: Fraction) -> None:
    more, less = mix_reckon(loaded(mix, max(a, b))), mix_reckon(loaded(mix, min(a, b)))
    assert less.load_fraction <= more.load_fraction
    assert less.holds or not more.holds


@given(mixes, hundredths(0, 400), hundredths(0, 400))
def test_load_saves_mix_until_it_fills_the_ball(mix: MixRequest, a: Fraction, b: Fraction) -> None:
    """So more load gives as many balls or more, not fewer, while there is room; then none."""
    more, less = mix_reckon(loaded(mix, max(a, b))), mix_reckon(loaded(mix, min(a, b)))
    if more.load_fraction < 1:
        assert more.balls_possible >= less.balls_possible
        assert more.ready_left_l >= less.ready_left_l
    else:
        assert (more.balls_possible, more.holds) == (0, False)


@given(mixes)
def test_the_most_load_holds_and_a_hair_more_does_not(mix: MixRequest) -> None:
    most = mix_reckon(loaded(mix, Fraction(1))).load_most_l
    assert most is not None
    assert mix_reckon(loaded(mix, most)).holds
    assert not mix_reckon(loaded(mix, most * Fraction("1.000001"))).holds


@given(mixes, tenths_of_mm(0, 40), tenths_of_mm(5, 150))
def test_a_thicker_film_never_lets_a_ball_take_more_and_a_larger_particle_never_less(
    mix: MixRequest, film: Fraction, size: Fraction
) -> None:
    one = loaded(mix, Fraction(1))
    thick, thin = (
        mix_reckon(replace(one, film_m=f)).load_most_l
        for f in (max(film, mix.film_m), min(film, mix.film_m))
    )
    assert thick is not None and thin is not None and thick <= thin
    first = one.load[0].size_m
    large, small = (
        mix_reckon(replace(one, load=(Particles(Fraction(1), s),))).load_most_l
        for s in (max(size, first), min(size, first))
    )
    assert large is not None and small is not None and small <= large


@given(mixes, st.randoms(use_true_random=False))
def test_the_order_of_the_load_does_not_matter_nor_does_its_splitting(
    mix: MixRequest, luck: random.Random
) -> None:
    halves = [Particles(p.litres / 2, p.size_m) for p in mix.load for _half in range(2)]
    luck.shuffle(halves)
    assert mix_reckon(replace(mix, load=tuple(halves))) == mix_reckon(mix)


@given(mixes, st.integers(2, 9))
def test_so_many_times_everything_is_so_many_times_the_mix(mix: MixRequest, times: int) -> None:
    once = mix_reckon(mix)
    more = mix_reckon(
        replace(
            mix,
            dry_l=mix.dry_l * times,
            soil_l=mix.soil_l * times,
            balls=mix.balls * times,
            load=tuple(Particles(p.litres * times, p.size_m) for p in mix.load),
        )
    )
    assert more.load_fraction == once.load_fraction
    assert more.ready_left_l == once.ready_left_l * times
    assert more.balls_possible >= once.balls_possible * times


@given(
    ball=tenths_of_mm(300, 1500),
    size=tenths_of_mm(5, 150),
    packing=hundredths(40, 100),
    part=st.integers(1, 640),
)
def test_a_ball_holds_what_its_squeeze_test_showed_and_hardly_more(
    ball: Fraction, size: Fraction, packing: Fraction, part: int
) -> None:
    load = ball_litres(ball) * Fraction(part, 1000) / packing
    film = squeeze_reckon(SqueezeTest(ball, load, size, packing)).film_m
    assert film is not None and film >= 0
    mix = MixRequest(
        Fraction(5), ball, 1, load=(Particles(load, size),), packing=packing, film_m=Fraction(film)
    )
    worked = mix_reckon(mix)
    assert worked.holds and worked.load_most_l is not None
    assert load <= worked.load_most_l <= load * Fraction("1.000000001")


@given(ball=tenths_of_mm(300, 1500), squeeze=hundredths(40, 100))
def test_the_loose_mix_of_a_ball_gives_its_squeeze_back(ball: Fraction, squeeze: Fraction) -> None:
    found = squeeze_reckon(SqueezeTest(ball, loose_l=ball_litres(ball) / squeeze)).squeeze
    assert found == float(squeeze)
