"""The mixing sheet over HTTP, as each role meets it."""

from __future__ import annotations

from typing import Any

import pytest

from bait.models import Bait, BaitKind, Mix, Plan
from bait.writes.plan_content import plan_content_parse
from bait.writes.plans import plan_save
from tests.clients import read_any, signed_in


def mixed(world: Any, first: str = "Wilmot", *, hemp: str = "1.2", count: int = 10) -> Plan:
    """A plan with seven litres dry, three of soil, and balls loaded with hemp."""
    for key, kind in [("river-mix", BaitKind.GROUNDBAIT), ("leam", BaitKind.SOIL)]:
        Bait.objects.get_or_create(
            club=world.club, key=key, defaults={"name": key.title(), "kind": kind, "unit": "L"}
        )
    raw = {
        "version": 0,
        "mixes": [
            {
                "name": "base",
                "parts": [
                    {"bait": "river-mix", "amount": "7", "unit": "L"},
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
                "balls": {"count": count, "mm": 80, "mix": "base"},
                "feeds": [{"bait": "hemp", "amount": hemp, "unit": "L"}],
            }
        ],
    }
    return plan_save(world.secretary, entry=world.entries[first], content=plan_content_parse(raw))


def tried(version: int, do: str = "measure", **changes: str) -> dict[str, str]:
    return {
        "do": do,
        "mix": "base",
        "version": str(version),
        "ball_mm": "80",
        "load_ml": "150",
        "size_mm": "3,5",
        "loose_ml": "",
        **changes,
    }


@pytest.fixture
def own_page(world: Any) -> str:
    return f"/desk/plans/{world.match.pk}/mixing/"


@pytest.fixture
def member_page(world: Any) -> str:
    return f"/desk/plans/{world.match.pk}/entries/{world.entries['Wilmot'].pk}/mixing/"


@pytest.mark.parametrize(
    ("who", "status"),
    [("captain", 200), ("rival", 403)],
)
def test_a_members_sheet_opens_for_its_angler_and_captain(
    world: Any, member_page: str, who: str, status: int
) -> None:
    plan = mixed(world)
    client = signed_in(getattr(world, who))
    assert read_any(client, member_page)[0] == status
    kept = client.post(member_page, tried(plan.version, "keep"))
    assert kept.status_code == (302 if status == 200 else status)
    assert str(Mix.objects.get().film_mm) == ("0.42" if status == 200 else "0.40")


def test_the_sheet_says_what_goes_in_and_what_comes_of_it(world: Any, own_page: str) -> None:
    mixed(world)
    text = read_any(signed_in(world.member), own_page)[1]
    for words in [
        "Wet it: 3.15 L of water.",
        "Let it rest 25 minutes.",
        "120 ml loose in each ball.",
        "It holds at most 154 ml.",
        "holds",
        "All of the mix makes 35 such balls.",
        "After all its balls 7.2 L stay loose",
        "Hot hemp scalds",
        "rules come first",
        f"/bank/#/match/{world.match.pk}/mixing",
    ]:
        assert words in text
    assert text.index("River-Mix") < text.index("Let it rest") < text.index("Leam")


def test_a_load_that_breaks_its_balls_is_told_the_two_ways_out(world: Any, own_page: str) -> None:
    mixed(world, hemp="2")
    text = read_any(signed_in(world.member), own_page)[1]
    assert "Leave 0.46 L of the load out, or make 13 balls for it." in text


def test_a_mix_that_is_too_little_is_told_how_much_more(world: Any, own_page: str) -> None:
    mixed(world, count=40)
    text = read_any(signed_in(world.member), own_page)[1]
    # 40 balls of 0.268 L with 18 ml of hemp each take 14.3 L loose, and there are 10.
    assert "The mix is 4.3 L short of all its balls: wet 4.3 L more dry" in text


def test_a_plan_without_a_mix_says_where_to_add_one(world: Any, own_page: str) -> None:
    client = signed_in(world.member)
    assert "There is no plan yet" in read_any(client, own_page)[1]
    plan_save(
        world.member,
        entry=world.entries["Wilmot"],
        content=plan_content_parse({"version": 0, "stages": []}),
    )
    assert "This plan has no mix yet" in read_any(client, own_page)[1]


def test_what_nobody_can_measure_is_said_and_no_water_guessed(world: Any, own_page: str) -> None:
    mixed(world)
    Bait.objects.filter(key="river-mix").update(unit="kg", bulk_density_kg_per_l="0.5")
    text = read_any(signed_in(world.member), own_page)[1]
    assert "Wet it: 3.15 L of water." in text
    Bait.objects.filter(key="river-mix").update(bulk_density_kg_per_l=None)
    text = read_any(signed_in(world.member), own_page)[1]
    assert "no longer adds up" in text and "does not fit" in text


def test_a_squeeze_test_is_worked_out_first_and_kept_in_a_second_step(
    world: Any, own_page: str
) -> None:
    plan = mixed(world)
    client = signed_in(world.member)
    text = client.post(own_page, tried(plan.version, loose_ml="380")).content.decode()
    assert "a coat of 0.42 mm round each particle, in place of 0.4 mm" in text
    assert "0.71 L of ball from a litre loose, in place of 0.7 L" in text
    assert Plan.objects.get().version == 1
    kept = client.post(own_page, tried(plan.version, "keep", loose_ml="380"))
    assert kept["Location"] == f"{own_page}#mix-0"
    mix = Mix.objects.get()
    assert (str(mix.film_mm), str(mix.squeeze), Plan.objects.get().version) == ("0.42", "0.71", 2)
    text = read_any(client, own_page)[1]
    assert "Kept in the plan" in text
    # What was tried by hand holds by the sheet, and not much more.
    assert "It holds at most 150 ml." in text or "It holds at most 149 ml." in text


@pytest.mark.parametrize(
    ("changes", "words"),
    [
        ({"load_ml": ""}, "Write down what you tried"),
        ({"load_ml": "much"}, "Write a number above zero"),
        ({"load_ml": "0"}, "Write a number above zero"),
        ({"load_ml": "-5"}, "Write a number above zero"),
        ({"load_ml": "290"}, "No ball of this size holds that much"),
        ({"load_ml": "0.1"}, "Hardly anything stayed in that ball"),
        ({"size_mm": "80"}, "must be smaller than the ball"),
        ({"ball_mm": "9000"}, "No hand makes that"),
        ({"load_ml": "", "loose_ml": "200"}, "takes more loose mix than its own size"),
        ({"load_ml": "", "loose_ml": "9999"}, "much loose mix for one ball"),
    ],
)
def test_a_test_that_cannot_be_is_said_beside_its_field_and_nothing_is_kept(
    world: Any, own_page: str, changes: dict[str, str], words: str
) -> None:
    plan = mixed(world)
    text = signed_in(world.member).post(own_page, tried(plan.version, "keep", **changes))
    assert words in text.content.decode()
    assert (Plan.objects.get().version, str(Mix.objects.get().film_mm)) == (1, "0.40")


def test_a_plan_saved_meanwhile_is_not_overwritten_by_a_squeeze_test(
    world: Any, own_page: str
) -> None:
    plan = mixed(world)
    client = signed_in(world.member)
    client.post(own_page, tried(plan.version, "keep"))
    text = client.post(own_page, tried(plan.version, "keep", load_ml="100")).content.decode()
    assert "This plan was changed meanwhile." in text
    assert (Plan.objects.get().version, str(Mix.objects.get().film_mm)) == (2, "0.42")


@pytest.mark.parametrize("mix", ["other", "", "\x00"])
def test_a_mix_that_is_gone_is_said(world: Any, own_page: str, mix: str) -> None:
    plan = mixed(world)
    client = signed_in(world.member)
    answer = client.post(own_page, {**tried(plan.version, "keep"), "mix": mix}, follow=True)
    assert "no such mix any more" in answer.content.decode()
    assert Plan.objects.get().version == 1


def test_the_sheet_takes_few_queries(
    world: Any, own_page: str, django_assert_max_num_queries: Any
) -> None:
    mixed(world)
    client = signed_in(world.member)
    read_any(client, own_page)
    with django_assert_max_num_queries(12):
        read_any(client, own_page)
