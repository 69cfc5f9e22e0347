"""The plan editor and the page of throws over HTTP, as each role meets them."""

from __future__ import annotations

import datetime as dt
from typing import Any

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext

from bait.models import Bait, Plan, PlanTemplate, ThrowSize
from bait.writes.orders import order_ask, order_place, order_version_make
from bait.writes.plan_content import plan_content_parse
from bait.writes.plan_templates import template_keep
from bait.writes.plans import plan_save
from matches.models import Entry, Match
from tests.clients import signed_in


def stage(n: int, **fields: str) -> dict[str, str]:
    given = {
        "kind": "feed",
        "line": "long",
        "start_minute": "0",
        "end_minute": "300",
        "every_seconds": "",
        "note": "",
        "feed-0-bait": "caster",
        "feed-0-amount": "1",
        "feed-0-unit": "pint",
        **fields,
    }
    return {f"stage-{n}-{key}": value for key, value in given.items()}


def form(do: str = "save", version: int = 0, **fields: str) -> dict[str, str]:
    sent = {"do": do, "version": str(version), "spare_percent": "0", "note": "", **stage(0)}
    return {**sent, **fields}


MIX = {
    "mix-0-name": "base",
    "mix-0-water_per_dry": "0,4",
    "mix-0-rest_minutes": "30",
    "mix-0-part-0-bait": "hemp",
    "mix-0-part-0-amount": "2",
    "mix-0-part-0-unit": "L",
    "mix-0-part-1-bait": "caster",
    "mix-0-part-1-amount": "0.5",
    "mix-0-part-1-unit": "pint",
    "mix-0-part-1-after_rest": "on",
}
BALLS = {"balls_count": "8", "balls_mm": "", "balls_mix": "0"}


@pytest.fixture
def plan_page(world: Any) -> str:
    return f"/desk/plans/{world.match.pk}/"


@pytest.fixture
def throws_page(plan_page: str) -> str:
    return f"{plan_page}throws/"


@pytest.fixture
def july(world: Any) -> str:
    """The page of Wilmot's plan for the next match."""
    later = Match.objects.get(pk=world.match.pk)
    later.pk, later.slug, later.name = None, "july-open", "July Open"
    later.date += dt.timedelta(days=30)
    later.save()
    was = world.entries["Wilmot"]
    Entry.objects.create(match=later, angler=was.angler, team=world.alders)
    return f"/desk/plans/{later.pk}/"


def test_a_mix_with_balls_hook_baits_and_a_substitute_is_saved_from_the_page(
    world: Any, plan_page: str
) -> None:
    client = signed_in(world.member)
    sent = form(
        **MIX,
        **stage(0, kind="opening", start_minute="-10", end_minute="0", **BALLS),
        **stage(1, kind="hook"),
        **{"substitute-0-bait": "caster", "substitute-0-instead": "hemp"},
    )
    assert client.post(plan_page, sent).status_code == 302
    plan = Plan.objects.get()
    mix = plan.mixes.get()
    assert (mix.name, str(mix.water_per_dry), mix.rest_minutes) == ("base", "0.400", 30)
    assert [(p.bait.key, p.after_rest) for p in mix.parts.all()] == [
        ("hemp", False),
        ("caster", True),
    ]
    opening = plan.stages.get(kind="opening")
    assert (opening.balls, opening.ball_mm, opening.mix) == (8, 80, mix)
    assert plan.substitutes.get().instead.key == "hemp"
    text = client.get(plan_page).content.decode()
    assert 'name="stage-0-balls_count" value="8"' in text
    assert "When it goes in" in text and '<path class="hue-0 area"' in text


def test_rows_of_mixes_and_substitutes_come_and_go(world: Any, plan_page: str) -> None:
    client = signed_in(world.member)

    def names(do: str, **more: str) -> str:
        return client.post(plan_page, form(do=do, **MIX, **more)).content.decode()

    assert 'name="mix-1-part-1-bait"' in names("add-mix")
    assert 'name="mix-0-part-2-bait"' in names("add-part-0")
    assert 'name="mix-0-part-1-bait"' not in names("drop-part-0-0")
    assert 'name="mix-0-name"' not in names("drop-mix-0")
    assert 'name="substitute-0-bait"' in names("add-substitute")
    assert '<option value="hook" selected>' in names("add-hook")
    assert not Plan.objects.exists()


def test_balls_keep_to_their_mix_when_another_is_taken_out_or_renamed(
    world: Any, plan_page: str
) -> None:
    client = signed_in(world.member)
    second = {key.replace("mix-0", "mix-1"): value for key, value in MIX.items()}
    second["mix-1-name"] = "cloud"
    sent = form(**MIX, **second, **stage(0, **{**BALLS, "balls_mix": "1"}))
    text = client.post(plan_page, {**sent, "do": "drop-mix-0"}).content.decode()
    assert '<option value="0" selected>cloud</option>' in text
    client.post(plan_page, {**sent, "mix-1-name": "light cloud"})
    assert Plan.objects.get().stages.get().mix.name == "light cloud"


@pytest.mark.parametrize(
    ("fields", "words"),
    [
        (stage(1, start_minute="299"), "Stage 1 has Caster on this line at the same time"),
        (stage(1, line="short", end_minute="331"), "Stage 2 would go on after the match"),
        (stage(0, every_seconds="0"), "A rhythm of 0 seconds never ends"),
        (stage(0, **{"feed-0-unit": "kg"}), "does not fit"),
        (stage(0, **{"feed-0-unit": "bag"}), "how much a bag of"),
        ({**MIX, "mix-0-name": ""}, "Give the mix a name"),
        ({**MIX, "mix-0-swell": "9"}, "Write a number from 0.3 to 5"),
        ({**MIX, "mix-0-part-0-unit": "kg"}, "does not fit"),
        ({**MIX, "mix-0-part-0-amount": "x"}, "Write how much"),
        ({"mix-0-name": "bare"}, "Put at least one bait into the mix"),
        ({**MIX, **stage(0, **{**BALLS, "balls_count": "many"})}, "Write a whole number here."),
        ({**MIX, **stage(0, **{**BALLS, "balls_mix": "7"})}, "of which of the plan"),
        ({**MIX, **stage(0, **{**BALLS, "balls_mix": ""})}, "of which of the plan"),
        ({**MIX, **stage(0, every_seconds="60", **BALLS)}, "leave the rhythm empty"),
        (stage(0, kind="hook", every_seconds="60"), "Hook baits have no rhythm"),
        ({"substitute-0-bait": "caster", "substitute-0-instead": ""}, "Choose a bait."),
        ({"substitute-0-bait": "caster", "substitute-0-instead": "caster"}, "another bait"),
    ],
)
@pytest.mark.parametrize("do", ["save", "check"])
def test_what_is_wrong_is_said_at_its_field_and_nothing_is_saved(
    world: Any, plan_page: str, fields: dict[str, str], words: str, do: str
) -> None:
    answer = signed_in(world.member).post(plan_page, form(do=do, **fields))
    assert answer.status_code == 200
    assert words in answer.content.decode()
    assert not Plan.objects.exists()


def test_the_least_and_the_most_of_a_field_are_said_in_the_readers_language(
    world: Any, plan_page: str
) -> None:
    sent = form(do="save", **{**MIX, "mix-0-swell": "9"})
    answer = signed_in(world.member).post(plan_page, sent, headers={"Accept-Language": "fr"})
    assert "Écrivez un nombre de 0,3 à 5, avec au plus" in answer.content.decode()


def test_the_longest_plan_there_may_be_is_read_from_its_page(world: Any, plan_page: str) -> None:
    keys = [f"b{n}" for n in range(20)]
    for key in keys:
        Bait.objects.create(club=world.club, key=key, name=key, kind="other", unit="g")
    sent = form()
    for n in range(30):
        feeds = {f"feed-{m}-bait": key for m, key in enumerate(keys)}
        feeds |= {f"feed-{m}-amount": "1" for m in range(20)}
        feeds |= {f"feed-{m}-unit": "g" for m in range(20)}
        sent |= stage(n, line=f"line {n}", **feeds)
    client = signed_in(world.member)
    assert client.post(plan_page, {**sent, "do": "add-stage"}).status_code == 200
    too_many = client.post(plan_page, {**sent, **stage(30)}).content.decode()
    assert "Use at most 30." in too_many and not Plan.objects.exists()
    assert client.post(plan_page, sent).status_code == 302
    assert sum(row.feeds.count() for row in Plan.objects.get().stages.all()) == 600


def test_an_earlier_plan_chosen_fills_the_form(world: Any, plan_page: str, july: str) -> None:
    client = signed_in(world.member)
    client.post(plan_page, form(note="June"))
    was = world.entries["Wilmot"].pk
    assert f'value="plan-{was}">June Open, 20 Jun 2026' in client.get(july).content.decode()
    text = client.post(july, {"do": "start", "version": "0", "source": f"plan-{was}"})
    assert ">June</textarea>" in text.content.decode()
    gone = client.post(july, {**form(do="start"), "source": "plan-99"}).content.decode()
    assert "no longer there to start from" in gone and 'value="caster" selected' in gone
    assert Plan.objects.count() == 1


def test_a_captain_keeps_takes_out_and_brings_back_a_template(world: Any, plan_page: str) -> None:
    client = signed_in(world.captain)
    client.post(plan_page, {**form(do="keep-template"), "template": "Summer river"})
    row = PlanTemplate.objects.get()
    assert (row.name, row.content["stages"][0]["feeds"][0]["bait"]) == ("Summer river", "caster")
    text = client.post(plan_page, form(do=f"drop-template-{row.pk}")).content.decode()
    assert "Bring “Summer river” back" in text and not PlanTemplate.objects.exists()
    client.post(plan_page, form(do="bring-template-back"))
    assert PlanTemplate.objects.get().content == row.content
    nameless = client.post(plan_page, {**form(do="keep-template"), "template": ""})
    assert "Give the template a name" in nameless.content.decode()
    assert not Plan.objects.exists()


def test_a_member_starts_from_a_template_and_keeps_none(world: Any, plan_page: str) -> None:
    content = {"version": 0, "note": "From the team", "stages": []}
    row = template_keep(world.captain, team=world.alders, name="Summer", content=content)
    client = signed_in(world.member)
    text = client.get(plan_page).content.decode()
    assert "Summer</option>" in text and "Keep as a template" not in text
    started = client.post(plan_page, {**form(do="start"), "source": f"template-{row.pk}"})
    assert "From the team" in started.content.decode()
    kept = client.post(plan_page, {**form(do="keep-template"), "template": "Mine"})
    assert kept.status_code == 403
    assert client.post(plan_page, form(do=f"drop-template-{row.pk}")).status_code == 403
    assert PlanTemplate.objects.count() == 1
    rival = signed_in(world.rival).get(plan_page).content.decode()
    assert "Summer</option>" not in rival


def test_throws_are_measured_used_and_forgotten(
    world: Any, plan_page: str, throws_page: str
) -> None:
    client = signed_in(world.member)
    sent = {"throw": "pouch", "bait": "", "cup_ml": "250", "throws": "5"}
    assert client.post(throws_page, sent).status_code == 302
    text = client.get(throws_page).content.decode()
    assert "Kept: a pouch is 50 ml now." in text
    fed = stage(0, every_seconds="300", **{"feed-0-unit": "pouch"})
    text = client.post(plan_page, form(do="check", **fed)).content.decode()
    assert "5.28 pints" in text  # 60 pouches of 50 ml
    size = ThrowSize.objects.get()
    assert client.post(throws_page, {"forget": str(size.pk)}).status_code == 302
    text = client.post(plan_page, form(do="check", **fed)).content.decode()
    assert "4.23 pints" in text  # of 40 ml, from memory
    twice = client.post(throws_page, {"forget": str(size.pk)}, follow=True)
    assert "forgotten already" in twice.content.decode()


@pytest.mark.parametrize("value", ["", "0", "many", "-3", "²", "9" * 30])
def test_a_count_that_is_none_is_refused_at_its_field(
    world: Any, throws_page: str, value: str
) -> None:
    sent = {"throw": "pouch", "bait": "caster", "cup_ml": "250", "throws": value}
    answer = signed_in(world.member).post(throws_page, sent)
    assert "Say how many throws filled it" in answer.content.decode()
    assert not ThrowSize.objects.exists()


def seasons(world: Any) -> None:
    """Wilmot's plans of 30 matches with all there is in a plan, each logged too, and templates."""
    mix = {"name": "base", "parts": [{"bait": "hemp", "amount": "2", "unit": "L"}]}
    stages = [
        {
            "kind": "feed",
            "line": f"line {n}",
            "end_minute": 300,
            "every_seconds": 300,
            "feeds": [{"bait": f"b{n}", "amount": "1", "unit": "pinch"}],
        }
        for n in range(8)
    ]
    stages[0] |= {"every_seconds": None, "balls": {"count": 8, "mm": 80, "mix": "base"}}
    raw = {
        "version": 0,
        "mixes": [mix],
        "stages": stages,
        "substitutes": [{"bait": "hemp", "instead": "caster"}],
    }
    for n in range(30):
        Bait.objects.create(club=world.club, key=f"b{n}", name=f"Bait {n}", kind="animal", unit="L")
    for n in range(30):
        match = Match.objects.get(pk=world.match.pk)
        match.pk, match.slug, match.date = None, f"m{n}", match.date - dt.timedelta(days=7 * n + 7)
        match.save()
        entry = Entry.objects.create(
            match=match, angler=world.entries["Wilmot"].angler, team=world.alders
        )
        plan_save(world.secretary, entry=entry, content=plan_content_parse(raw))
        template_keep(world.captain, team=world.alders, name=f"T{n}", content=raw)
    plan_save(world.member, entry=world.entries["Wilmot"], content=plan_content_parse(raw))


@pytest.mark.parametrize(
    ("address", "who", "most"),
    [("", "member", 12), ("?start=1", "member", 15), ("throws/", "member", 12)],
)
def test_pages_of_a_plan_take_few_queries_after_three_seasons(
    world: Any, plan_page: str, address: str, who: str, most: int
) -> None:
    seasons(world)
    client = signed_in(getattr(world, who))
    client.get(plan_page + address)
    with CaptureQueriesContext(connection) as seen:
        assert client.get(plan_page + address).status_code == 200
    assert len(seen) <= most


def test_who_saves_after_the_order_is_placed_is_told(world: Any, plan_page: str) -> None:
    client = signed_in(world.member)
    text = client.post(plan_page, form(), follow=True).content.decode()
    assert "Plan saved, version 1." in text and "placed already" not in text
    order, work = order_ask(world.captain, team=world.alders, match=world.match)
    version = order_version_make(work.pk)
    assert version is not None
    order_place(world.captain, order=order, version=version)
    text = client.post(plan_page, form(version=1), follow=True).content.decode()
    assert "Plan saved, version 2." in text
    assert "The bait order is placed already" in text
