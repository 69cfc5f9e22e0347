"""The placement calculator: the shared cases, and what must hold in every swim."""

from __future__ import annotations

import json
import math
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from bait.reckon.placement import (
    PLACEMENT_EXAMPLE,
    PLACEMENT_EXAMPLE_ANSWER,
    Angler,
    FeedPlaced,
    placement_parse,
    placement_work_out,
    speed_timed,
    throw_point,
)
from matches.reckon.errors import BadInput
from tests.nearly import nearly

CASES = json.loads(
    (Path(__file__).parents[1] / "cases" / "placement.json").read_text(encoding="utf-8")
)
LANDINGS = json.loads(
    (Path(__file__).parents[1] / "cases" / "placement_landing.json").read_text(encoding="utf-8")
)
SWIM = {"depth_m": 2.4, "surface_speed_m_s": 0.35, "water_temp_c": 9.0, "rig_settles_m": 3.0}
CASTER = {"name": "caster", "sink_speed_m_s": 0.045}
BALL = {"name": "balls", "shape": "ball", "diameter_m": 0.08, "density_kg_m3": 1500}
STRAYING = {"sink_speed_sd_m_s": 0.006, "throw_sd_m": 0.25}


def placed(feed: dict[str, Any] = CASTER, **changes: Any) -> FeedPlaced:
    asked = placement_parse({**SWIM, "feeds": [feed], **changes})
    return placement_work_out(asked).feeds[0]


@pytest.mark.parametrize("case", [c for c in CASES if "output" in c], ids=lambda c: c["why"])
def test_case_is_worked_out(case: dict[str, Any]) -> None:
    answer = placement_work_out(placement_parse(case["input"])).as_json()
    assert nearly(answer, case["output"])


@pytest.mark.parametrize("case", [c for c in CASES if "errors" in c], ids=lambda c: c["why"])
def test_case_is_refused(case: dict[str, Any]) -> None:
    with pytest.raises(BadInput) as refused:
        placement_parse(case["input"])
    assert sorted(fault.pointer for fault in refused.value.faults) == case["errors"]
    assert all(fault.message.endswith(".") for fault in refused.value.faults)


@pytest.mark.parametrize("number", [math.nan, math.inf, -math.inf, 10**400, True, None, "2.4"])
def test_what_is_no_number_is_refused(number: object) -> None:
    with pytest.raises(BadInput, match="/depth_m"):
        placement_parse({**SWIM, "depth_m": number, "feeds": [CASTER]})


def test_the_worked_example_has_the_figures_of_an_independent_program() -> None:
    answer = placement_work_out(placement_parse(PLACEMENT_EXAMPLE)).as_json()
    assert nearly(answer, PLACEMENT_EXAMPLE_ANSWER)
    hemp, _, balls = answer["feeds"]
    assert hemp["sink_speed_m_s"] == pytest.approx(0.07775, abs=5e-6)
    assert hemp["drift_m"] == pytest.approx(9.260, abs=5e-4)
    assert (balls["sink_s"], balls["drift_m"]) == (
        pytest.approx(2.519, abs=5e-4),
        pytest.approx(0.591, abs=5e-4),
    )
    grain = placed({"name": "h", "shape": "grain", "diameter_m": 0.0032, "density_kg_m3": 1120})
    assert grain.sink_speed == pytest.approx(0.06210, abs=5e-6)


SINKING = st.floats(0.01, 1.0)


@given(depth=st.floats(0.3, 6), speed=st.floats(0.02, 2), sink=SINKING, part=st.floats(0.2, 1))
def test_a_throw_and_its_drift_end_where_the_rig_settles(
    depth: float, speed: float, sink: float, part: float
) -> None:
    changes = {"depth_m": depth, "surface_speed_m_s": speed, "fish_depth_m": depth * part}
    answer = placed({"name": "feed", "sink_speed_m_s": sink}, **changes)
    assert answer.throw_m + answer.drift_m == pytest.approx(3.0)
    assert 0 < answer.drift_m <= speed * answer.sink_s
    assert answer.sink_s == pytest.approx(depth * part / sink)


@given(speed=st.floats(0.02, 1.6), sink=SINKING, more=st.floats(1.01, 3))
def test_a_heavier_feed_goes_in_closer_and_a_faster_river_moves_all_further_down(
    speed: float, sink: float, more: float
) -> None:
    """Common practice, no source."""
    feed = {"name": "feed", "sink_speed_m_s": sink}
    usual = placed(feed, surface_speed_m_s=speed)
    heavier = placed({**feed, "sink_speed_m_s": sink * more}, surface_speed_m_s=speed)
    faster = placed(feed, surface_speed_m_s=speed * more)
    assert heavier.throw_m > usual.throw_m > faster.throw_m


@given(
    speed=st.floats(0.05, 1.5),
    size=st.floats(0.03, 0.12),
    density=st.floats(1010, 2000),
    more=st.floats(1.02, 1.5),
)
def test_a_ball_falls_slower_than_it_ends_and_a_heavier_one_lands_sooner(
    speed: float, size: float, density: float, more: float
) -> None:
    ball = {"name": "balls", "shape": "ball", "diameter_m": size, "density_kg_m3": density}
    usual = placed(ball, surface_speed_m_s=speed)
    heavier = placed({**ball, "density_kg_m3": density * more}, surface_speed_m_s=speed)
    assert usual.sink_s > 2.4 / usual.sink_speed
    assert heavier.sink_s < usual.sink_s
    assert heavier.drift_m < usual.drift_m < speed * usual.sink_s


def test_balls_go_in_closer_than_casters_and_hemp_between() -> None:
    """Common practice, no source."""
    feeds = placement_work_out(placement_parse(PLACEMENT_EXAMPLE)).feeds
    throws = {feed.name: feed.throw_m for feed in feeds}
    assert throws["balls"] > throws["hemp"] > throws["caster"]


def test_chance_is_the_same_for_the_same_seed_and_another_for_another() -> None:
    feed = {**CASTER, **STRAYING}
    one, again, other = (placed(feed, particles=500, seed=seed).lands for seed in (1, 1, 2))
    assert one == again != other


def test_nothing_strays_when_all_is_known() -> None:
    lands = placed(CASTER, particles=100).lands
    assert lands is not None
    assert (lands.mean_m, lands.p5_m, lands.p95_m) == (pytest.approx(3.0),) * 3
    assert (lands.sd_m, lands.near_rig) == (pytest.approx(0.0, abs=1e-12), 1.0)


def test_casters_that_stray_lie_as_the_law_of_their_sink_speed_says() -> None:
    """Drift is proportional to 1/w. Of a lognormal w with mean m and spread s the mean of 1/w is
    (1 + (s/m)²)/m, and its coefficient of variation that of w (closed form)."""
    lands = placed({**CASTER, **STRAYING}, particles=100_000, seed=7).lands
    assert lands is not None
    cv2 = (0.006 / 0.045) ** 2
    mean = -13.0 + 16.0 * (1 + cv2)
    sd = math.sqrt((16.0 * (1 + cv2)) ** 2 * cv2 + 0.25**2)
    assert lands.mean_m == pytest.approx(mean, abs=4 * sd / math.sqrt(100_000))
    assert lands.sd_m == pytest.approx(sd, rel=0.02)
    assert lands.p5_m < lands.mean_m < lands.p95_m
    assert 0.1 < lands.near_rig < 0.3


@pytest.mark.parametrize("case", LANDINGS, ids=lambda c: c["why"])
def test_landings_by_another_chance_are_those_of_the_case(case: dict[str, Any]) -> None:
    """Of 100,000 an outer twentieth strays by 0.0067 of the spread, a share by at most 0.0016:
    five times that, twice over, for two seeds apart."""
    answer = placement_work_out(placement_parse({**case["input"], "seed": 5})).as_json()
    said = case["output"]
    pairs = [
        (ours["landing"], theirs["landing"])
        for ours, theirs in zip(answer["feeds"], said["feeds"], strict=True)
    ]
    ways, known = answer.get("tighten", []), said.get("tighten", [])
    assert [(w["way"], w["feed"]) for w in ways] == [(w["way"], w["feed"]) for w in known]
    pairs += [(w["landing"], k["landing"]) for w, k in zip(ways, known, strict=True)]
    for ours, theirs in pairs:
        for part in ("mean_m", "sd_m", "p5_m", "p10_m", "p90_m", "p95_m"):
            assert ours[part] == pytest.approx(theirs[part], abs=0.05 * theirs["sd_m"])
        assert ours["within_half_m"] == pytest.approx(theirs["within_half_m"], abs=0.01)


def test_each_way_to_tighten_casters_does() -> None:
    """Common practice, no source: balls most of all, then slack water or a heavier feed."""
    feed = {**CASTER, "sink_speed_sd_m_s": 0.006, "throw_sd_m": 0.4}
    asked = {
        **SWIM,
        "feeds": [feed],
        "angler": {"line_m": 9.0, "rod_m": 4.0, "flows_to": "right"},
        "particles": 20_000,
        "tighten": "caster",
    }
    answer = placement_work_out(placement_parse(asked))
    ways = {way.name: way.lands.p95_m - way.lands.p5_m for way in answer.ways or ()}
    lands = answer.feeds[0].lands
    assert lands is not None
    assert ways["balls"] < min(ways["heavier"], ways["slack"])
    assert max(ways.values()) < lands.p95_m - lands.p5_m


@given(
    speed=st.floats(0.02, 3),
    depth=st.floats(0.3, 6),
    sink=SINKING,
    swim=st.floats(1, 50),
    wind=st.floats(-10, 10),
)
def test_at_the_speed_it_just_reaches_a_feed_is_carried_as_long_as_the_swim(
    speed: float, depth: float, sink: float, swim: float, wind: float
) -> None:
    feed = {"name": "feed", "sink_speed_m_s": sink}
    changes = {"depth_m": depth, "wind_m_s": wind}
    (reach,) = placed(feed, surface_speed_m_s=speed, swim_m=swim, **changes).reach
    if reach is None:
        assert placed(feed, surface_speed_m_s=5, **changes).drift_m <= swim
    elif reach < 0.001:
        assert placed(feed, surface_speed_m_s=0.001, **changes).drift_m > swim * 0.9
    else:
        assert placed(feed, surface_speed_m_s=reach, **changes).drift_m == pytest.approx(swim)


@given(wind=st.floats(0.5, 15), speed=st.floats(0.02, 2), depth=st.floats(0.3, 6), sink=SINKING)
def test_wind_down_the_river_carries_further_and_up_the_river_by_as_much_less(
    wind: float, speed: float, depth: float, sink: float
) -> None:
    """And never further than the surface drifts while the feed sinks."""
    feed = {"name": "feed", "sink_speed_m_s": sink}
    changes = {"depth_m": depth, "surface_speed_m_s": speed}
    calm, down, up = (placed(feed, wind_m_s=each, **changes).drift_m for each in (0.0, wind, -wind))
    assert down - calm == pytest.approx(calm - up, rel=1e-6)
    assert 0 < down - calm < 0.03 * wind * depth / sink


def test_a_throw_is_told_on_the_clock_face_of_the_hand_the_river_runs_to() -> None:
    """Twelve straight across; as far along as across is half way to three, or to nine."""
    right, left = Angler(9.0, 3.0, "right"), Angler(9.0, 3.0, "left")
    assert throw_point(0.0, right).clock_h == 12
    assert throw_point(9.0, right).clock_h == pytest.approx(1.5)
    assert throw_point(-9.0, right).clock_h == pytest.approx(10.5)
    assert throw_point(-9.0, left).clock_h == pytest.approx(1.5)
    up = throw_point(-9.0, right)
    assert (up.rods_upstream, up.rods_across) == (3.0, 3.0)
    assert up.distance_m == pytest.approx(9 * math.sqrt(2))


@given(rise=st.floats(0.05, 2), speed=st.floats(0.02, 1.6))
def test_a_river_that_rose_is_deeper_and_faster_and_moves_all_throws_up(
    rise: float, speed: float
) -> None:
    asked = placement_parse({**SWIM, "surface_speed_m_s": speed, "feeds": [CASTER], "rise_m": rise})
    answer = placement_work_out(asked)
    assert answer.risen is not None
    assert answer.risen.swim.depth_m == answer.risen.swim.fish_depth_m == 2.4 + rise
    assert answer.risen.swim.speed > speed
    assert answer.risen.feeds[0].throw_m < answer.feeds[0].throw_m


def test_a_depth_or_speed_that_is_badly_known_widens_balls_by_what_they_would_drift() -> None:
    lands = placed(BALL, particles=20_000, surface_speed_sd_m_s=0.035, depth_sd_m=0.24).lands
    assert lands is not None
    drifts = [
        placed(BALL, surface_speed_m_s=0.385).drift_m,
        placed(BALL, surface_speed_m_s=0.315).drift_m,
        placed(BALL, depth_m=2.64).drift_m,
        placed(BALL, depth_m=2.16).drift_m,
    ]
    sd = math.hypot((drifts[0] - drifts[1]) / 2, (drifts[2] - drifts[3]) / 2)
    assert lands.sd_m == pytest.approx(sd, rel=0.05)


def test_fish_above_the_bed_are_fed_whatever_the_depth() -> None:
    """Where the bed is uneven, fish at a fixed depth see the feed sooner where it is deeper: the
    upper water there is faster by little."""
    bed = placed(CASTER, particles=5_000, depth_sd_m=0.3).lands
    shallow = placed(CASTER, particles=5_000, depth_sd_m=0.3, fish_depth_m=1.0).lands
    assert bed is not None and shallow is not None
    assert shallow.sd_m < bed.sd_m / 5


def test_timing_takes_the_mean_of_the_speeds_and_their_spread() -> None:
    timed = speed_timed(metres=5, seconds=[10, 20])
    assert timed.mean == pytest.approx(0.375)
    assert timed.sd == pytest.approx(0.25 / math.sqrt(2))
    assert speed_timed(metres=5, seconds=[10]).sd == 0
