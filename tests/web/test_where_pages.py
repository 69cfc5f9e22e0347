"""A member plans at the desk where each feed is thrown, from what was measured before."""

from __future__ import annotations

from typing import Any

import pytest

from bait import models as b
from bait.reckon.placement import placement_parse, placement_work_out
from matches.models import Fact
from tests.clients import read, signed_in
from tests.web.pushing import fact, push
from tests.web.test_feed_tests_shared import THROW, drop
from tests.web.test_phone_feeding import match_before
from web.throw_words import rods_said

SWIM = {"depth_cm": 240, "rig_settles_cm": 300, "celsius_tenths": 90}
RUN = {"float_run": {"distance_cm": 500, "ms": 14_200}}


@pytest.fixture
def planned(world: Any) -> Any:
    """Wilmot throws casters, and six balls of 80 mm."""
    plan = b.Plan.objects.create(entry=world.entries["Wilmot"])
    mix = b.Mix.objects.create(plan=plan, position=1, name="base")
    b.Stage.objects.create(
        plan=plan, position=1, kind="opening", end_minute=0, balls=6, ball_mm=80, mix=mix
    )
    stage = b.Stage.objects.create(plan=plan, position=2, kind="feed", end_minute=60)
    b.StageFeed.objects.create(stage=stage, bait=world.baits["caster"], amount="0.25", unit="pint")
    return world


def where(world: Any) -> str:
    return f"/desk/plans/{world.match.pk}/where/"


def test_throws_are_reckoned_from_the_own_peg_as_it_was_measured_before(planned: Any) -> None:
    world, before = planned, match_before(planned, days=14)
    at = {"kind": "peg_note", "match": str(before.pk), "peg": "4"}
    notes = [fact(world, n, body=body, **at) for n, body in enumerate((SWIM, RUN), 10)]
    push(world.captain, *notes, *[drop(world, n, before) for n in (1, 2, 3)])
    push(
        world.member, fact(world, 20, kind="feed_throw", match=str(before.pk), peg="4", body=THROW)
    )
    asked = {
        "depth_m": 2.4,
        "surface_speed_m_s": 5 / 14.2,
        "water_temp_c": 9.0,
        "rig_settles_m": 3.0,
        "feeds": [
            {"name": "ball", "shape": "ball", "diameter_m": 0.08, "density_kg_m3": 1500},
            {"name": "caster", "sink_speed_m_s": 0.05},
        ],
    }
    ball, caster = placement_work_out(placement_parse(asked)).feeds
    text = read(signed_in(world.member), where(world))
    assert "Peg 4," in text and "2.4 m deep, 0.35 m/s, rig settles 3.0 m" in text
    assert f"Reckoned: {abs(ball.throw_m):.1f} m downstream" in text
    assert f"Reckoned: {-caster.throw_m:.1f} m upstream" in text
    assert "Sinks 5.0 cm/s, timed by Maud Ferris" in text
    assert "at peg 4: 6.4 m upstream, 12.0 m out (1¾ and 3 rods)" in text


def test_rods_are_told_to_the_nearest_quarter() -> None:
    told = {cm: rods_said(cm, rod_cm=400) for cm in (0, 49, 50, 200, -200, 900, 949, 950, 1600)}
    assert list(told.values()) == ["0", "0", "¼", "½", "½", "2¼", "2¼", "2½", "4"]


def test_what_is_kept_at_the_desk_is_a_fact_on_plan_sheet_and_phone(planned: Any) -> None:
    client = signed_in(planned.member)
    typed = {"up-caster": "6,4", "out-caster": "12", "up-ball-80": "-0.6", "rod": "3.9"}
    assert client.post(where(planned), typed).status_code == 302
    bodies = list(Fact.objects.order_by("cseq").values_list("kind", "peg", "body"))
    assert bodies == [
        ("feed_throw", "4", {"ball_mm": 80, "upstream_cm": -60, "out_cm": None, "rod_cm": 390}),
        ("feed_throw", "4", THROW),
    ]
    client.post(where(planned), typed)
    assert Fact.objects.count() == 2
    for part in ("", "mixing/"):
        text = read(client, f"/desk/plans/{planned.match.pk}/{part}")
        assert "6.4 m upstream, 12.0 m out (1¾ and 3 rods)" in text, part
        assert "Balls of 80 mm</b> 0.6 m downstream" in text, part
    client.post(where(planned), {**typed, "up-ball-80": "", "up-caster": "5"})
    assert Fact.objects.filter(kind="scratch").count() == 1
    text = read(client, f"/desk/plans/{planned.match.pk}/mixing/")
    assert "5.0 m upstream" in text and "Balls of 80 mm</b>" not in text


@pytest.mark.parametrize("text", ["far", "6.444", "1e3", "500", "٣", "--1", "6 4"])
def test_what_is_no_distance_is_said_beside_its_field_and_nothing_is_kept(
    planned: Any, text: str
) -> None:
    answer = signed_in(planned.member).post(where(planned), {"up-caster": text, "rod": "4"})
    assert answer.status_code == 200
    assert "Write metres from -100 to 100" in answer.content.decode()
    assert f'value="{text}"' in answer.content.decode()
    assert not Fact.objects.exists()


def test_out_without_upstream_is_asked_about(planned: Any) -> None:
    answer = signed_in(planned.member).post(where(planned), {"out-caster": "12"})
    assert "Say how far upstream too" in answer.content.decode()


@pytest.mark.parametrize(
    ("who", "status"),
    [("captain", 200), ("rival", 403), ("weigher", 403), ("outsider", 404)],
)
def test_a_captain_reads_a_members_throws_and_nobody_else_writes_them(
    planned: Any, who: str, status: int
) -> None:
    push(planned.member, fact(planned, 1, kind="feed_throw", peg="4", body=THROW))
    address = where(planned).replace("where/", f"entries/{planned.entries['Wilmot'].pk}/where/")
    client = signed_in(getattr(planned, who))
    assert client.get(address).status_code == status
    answer = client.post(address, {"up-caster": "1"})
    assert answer.status_code == status
    if status == 200:
        assert "Throws are planned by who throws them." in answer.content.decode()
    assert Fact.objects.count() == 1


def test_without_a_plan_or_measurements_the_page_says_what_to_do(world: Any) -> None:
    client = signed_in(world.member)
    assert "There is no plan yet" in read(client, where(world))
    plan = b.Plan.objects.create(entry=world.entries["Wilmot"])
    stage = b.Stage.objects.create(plan=plan, position=1, kind="feed", end_minute=60)
    b.StageFeed.objects.create(stage=stage, bait=world.baits["caster"], amount=1, unit="pint")
    text = read(client, where(world))
    assert "Nobody of your team has measured a peg here yet" in text
    assert "Not reckoned: time it in a jar" in text


def test_an_erased_throw_or_note_is_passed_over(planned: Any) -> None:
    push(
        planned.member,
        fact(planned, 1, kind="feed_throw", peg="4", body=THROW),
        fact(planned, 2, kind="peg_note", peg="4", body=SWIM),
    )
    Fact.objects.update(body={})
    client = signed_in(planned.member)
    assert "Not reckoned" in read(client, where(planned))
    assert "throws-kept" not in read(client, f"/desk/plans/{planned.match.pk}/mixing/")
