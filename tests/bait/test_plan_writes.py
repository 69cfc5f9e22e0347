"""Plans are saved whole, by those who may, and never over another's change."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal
from fractions import Fraction as F
from typing import Any

import pytest

from bait.models import Mix, Plan, PlanSubstitute, ThrowSize
from bait.reads.phone import bag_json, plan_json
from bait.reads.plan_whole import WholePlan
from bait.reads.plans import plan_of_entry, plan_totals_of
from bait.writes.plan_content import plan_content_parse
from bait.writes.plans import plan_save
from matches.models import AuditEntry
from matches.problems import Code, Problem
from matches.reckon.errors import BadInput


def raw(version: int = 0, amount: str = "2.5", **changes: Any) -> dict[str, Any]:
    return {
        "version": version,
        "spare_percent": 20,
        "note": "Caster over hemp.",
        "stages": [
            {
                "kind": "feed",
                "line": "long",
                "start_minute": 0,
                "end_minute": 300,
                "every_seconds": None,
                "note": "",
                "feeds": [{"bait": "caster", "amount": amount, "unit": "pint"}],
            }
        ],
        **changes,
    }


MIXED: dict[str, Any] = {
    "mixes": [
        {
            "name": "base",
            "rest_minutes": 30,
            "water_per_dry": "0.405",
            "swell": "1.1",
            "squeeze": "0.7",
            "packing": "0.6",
            "film_mm": "0.4",
            "parts": [
                {"bait": "hemp", "amount": "0.5", "unit": "L", "after_rest": False},
                {"bait": "caster", "amount": "0.25", "unit": "pint", "after_rest": True},
            ],
        }
    ],
    "substitutes": [{"bait": "caster", "instead": "hemp"}],
}


def opened(**changes: Any) -> dict[str, Any]:
    """A plan with a mix, opening balls, loose feed by the pouch and hook baits."""

    def stage(kind: str, start: int, end: int, *feeds: tuple[str, str, str], **more: Any) -> Any:
        found = [{"bait": bait, "amount": amount, "unit": unit} for bait, amount, unit in feeds]
        return {
            "kind": kind,
            "line": "long",
            "start_minute": start,
            "end_minute": end,
            "every_seconds": None,
            "note": "",
            "balls": None,
            "feeds": found,
            **more,
        }

    return {
        **raw(),
        **MIXED,
        "stages": [
            stage(
                "opening",
                -10,
                0,
                ("hemp", "2", "pint"),
                balls={"count": 10, "mm": 80, "mix": "base"},
            ),
            stage("feed", 0, 300, ("caster", "1", "pouch"), every_seconds=300),
            stage("hook", 0, 300, ("caster", "0.25", "pint")),
        ],
        **changes,
    }


def save(person: Any, entry: Any, **changes: Any) -> Plan:
    return plan_save(person, entry=entry, content=plan_content_parse(raw(**changes)))


def whole(entry: Any) -> WholePlan:
    plan = plan_of_entry(entry)
    assert plan is not None
    return plan


def test_a_members_plan_is_kept_and_goes_to_the_phone(world: Any) -> None:
    save(world.member, world.entries["Wilmot"])
    plan = whole(world.entries["Wilmot"])
    assert plan_json(plan) == {
        "note": "Caster over hemp.",
        "spare_percent": 20,
        "version": 1,
        "mixes": [],
        "stages": [
            {
                "kind": "feed",
                "line": "long",
                "start_minute": 0,
                "end_minute": 300,
                "every_seconds": None,
                "note": "",
                "balls": None,
                "feeds": [{"bait": "caster", "name": "Caster", "amount": "2.5", "unit": "pint"}],
            }
        ],
        "substitutes": [],
    }
    assert bag_json(plan) == [{"bait": "caster", "name": "Caster", "amount": "3", "unit": "pint"}]


def test_a_plan_comes_out_as_it_went_in(world: Any) -> None:
    entry = world.entries["Wilmot"]
    plan_save(world.member, entry=entry, content=plan_content_parse(opened()))
    given = plan_json(whole(entry))
    assert (given["mixes"][0]["water_per_dry"], given["stages"][0]["balls"]) == (
        "0.405",
        {"count": 10, "mm": 80, "mix": "base"},
    )
    assert plan_content_parse(given) == replace(plan_content_parse(opened()), version=1)
    plan_save(world.member, entry=entry, content=plan_content_parse(given))
    assert plan_json(whole(entry)) == {**given, "version": 2}
    assert Mix.objects.count() == PlanSubstitute.objects.count() == 1


def test_what_is_mixed_fed_and_hooked_is_told_apart(world: Any) -> None:
    entry = world.entries["Wilmot"]
    plan_save(world.member, entry=entry, content=plan_content_parse(opened()))
    (caster, hemp) = plan_totals_of(whole(entry))
    pouches = 60 * F("0.04") / F("0.56826125")
    assert caster.uses == {"mix": F("0.25"), "feed": pouches, "hook": F("0.25")}
    assert hemp.uses == {"mix": 2 + F("0.5") / F("0.56826125")}
    # The angler's own pouch counts once it is measured; one of this bait before one of any.
    angler = entry.angler
    ThrowSize.objects.create(angler=angler, throw="pouch", ml=50)
    ThrowSize.objects.create(angler=angler, throw="pouch", ml=30, bait=world.baits["caster"])
    assert plan_totals_of(whole(entry))[0].uses["feed"] == 60 * F("0.03") / F("0.56826125")


def test_a_bait_changed_under_the_plan_leaves_the_phone_its_stages(world: Any) -> None:
    save(world.member, world.entries["Wilmot"])
    world.baits["caster"].unit = "kg"
    world.baits["caster"].save()
    plan = whole(world.entries["Wilmot"])
    assert len(plan_json(plan)["stages"]) == 1
    assert bag_json(plan) == []


def test_the_captain_may_write_a_members_plan_and_the_trail_says_who(world: Any) -> None:
    save(world.captain, world.entries["Wilmot"])
    trail = AuditEntry.objects.get(verb="plan.saved")
    assert (trail.person, trail.detail) == (world.captain, {"version": 1, "stages": 1})


@pytest.mark.parametrize("who", ["rival", "weigher", "outsider"])
def test_nobody_else_may_write_it(world: Any, who: str) -> None:
    with pytest.raises(Problem) as refused:
        save(getattr(world, who), world.entries["Wilmot"])
    assert refused.value.code is Code.NOT_ALLOWED
    assert not Plan.objects.exists()


def test_two_changes_from_one_version_conflict_and_the_first_stays(world: Any) -> None:
    entry = world.entries["Wilmot"]
    save(world.member, entry)
    save(world.captain, entry, version=1, amount="3")
    with pytest.raises(Problem) as refused:
        save(world.member, entry, version=1, amount="4")
    assert refused.value.code is Code.CONFLICT
    plan = Plan.objects.get()
    feed = plan.stages.get().feeds.get()
    assert (plan.version, feed.amount, plan.changed_by) == (2, Decimal("3"), world.captain)
    assert AuditEntry.objects.filter(verb="plan.saved").count() == 2


def test_a_first_plan_made_twice_conflicts(world: Any) -> None:
    save(world.member, world.entries["Wilmot"])
    with pytest.raises(Problem) as refused:
        save(world.captain, world.entries["Wilmot"])
    assert refused.value.code is Code.CONFLICT


def test_a_plan_over_the_limit_is_saved(world: Any) -> None:
    save(world.member, world.entries["Wilmot"], amount="20")
    assert Plan.objects.get().version == 1


def test_a_refused_plan_changes_nothing(world: Any) -> None:
    entry = world.entries["Wilmot"]
    save(world.member, entry)
    wrong = raw(version=1)
    wrong["stages"][0]["feeds"].append({"bait": "bloodworm", "amount": "1", "unit": "L"})
    with pytest.raises(BadInput) as refused:
        plan_save(world.member, entry=entry, content=plan_content_parse(wrong))
    assert [f.pointer for f in refused.value.faults] == ["/stages/0/feeds/1/bait"]
    plan = Plan.objects.get()
    assert (plan.version, plan.stages.get().feeds.count()) == (1, 1)


def test_another_clubs_bait_is_unknown(world: Any) -> None:
    from bait.models import Bait

    Bait.objects.create(
        club=world.other_club, key="bloodworm", name="Bloodworm", kind="animal", unit="L"
    )
    wrong = raw()
    wrong["stages"][0]["feeds"][0]["bait"] = "bloodworm"
    with pytest.raises(BadInput):
        plan_save(world.member, entry=world.entries["Wilmot"], content=plan_content_parse(wrong))


@pytest.mark.parametrize(
    ("wrong", "pointers"),
    [
        (None, [""]),
        ([], [""]),
        ({}, ["/version", "/stages"]),
        (raw(stages={}), ["/stages"]),
        (raw(spare_percent="20"), ["/spare_percent"]),
        (raw(spare_percent=101), ["/spare_percent"]),
        (raw(note=7), ["/note"]),
        (raw(note="a\x00"), ["/note"]),
        (raw(colour="red"), ["/colour"]),
        (raw(version=True), ["/version"]),
        (raw(stages=[7]), ["/stages/0"]),
        (
            raw(stages=[{"kind": "soon", "end_minute": 1.5, "feeds": None}]),
            ["/stages/0/kind", "/stages/0/end_minute", "/stages/0/feeds"],
        ),
        (
            raw(
                stages=[
                    {
                        "kind": "feed",
                        "end_minute": 10,
                        "feeds": [
                            {"bait": "", "amount": "1", "unit": "L"},
                            {"bait": "hemp", "amount": "-1", "unit": "bucket"},
                            {"bait": "hemp", "amount": 1, "unit": ["L"]},
                            {"bait": "hemp"},
                        ],
                    }
                ]
            ),
            [
                "/stages/0/feeds/0/bait",
                "/stages/0/feeds/1/amount",
                "/stages/0/feeds/1/unit",
                "/stages/0/feeds/2/amount",
                "/stages/0/feeds/2/unit",
                "/stages/0/feeds/3/amount",
                "/stages/0/feeds/3/unit",
            ],
        ),
    ],
)
def test_a_plan_that_cannot_be_read_says_where(wrong: Any, pointers: list[str]) -> None:
    with pytest.raises(BadInput) as refused:
        plan_content_parse(wrong)
    assert sorted(f.pointer for f in refused.value.faults) == sorted(pointers)


def test_a_whole_plan_is_one_query_for_the_phone(
    world: Any, django_assert_num_queries: Any
) -> None:
    entry = world.entries["Wilmot"]
    stages = [{**stage, "line": f"line {n}"} for n, stage in enumerate(raw()["stages"] * 12)]
    save(world.member, entry, stages=stages, amount="0.1", **MIXED)
    with django_assert_num_queries(1):
        plan = whole(entry)
        assert len(plan_json(plan)["stages"]) == 12
        assert len(bag_json(plan)) == 2
