"""A captain gives one plan to several: nobody's own is lost, and Undo brings all back."""

from __future__ import annotations

from typing import Any

import pytest
from django.test import Client

from bait.models import Plan
from bait.reads.phone import plan_json
from bait.reads.plans import plan_of_entry
from bait.writes.plan_content import plan_content_parse
from bait.writes.plan_giving import Given, plans_give, plans_take_back
from bait.writes.plan_templates import template_keep
from bait.writes.plans import plan_save
from matches.models import AuditEntry
from matches.problems import Problem
from tests.web.test_undo import undo_in

pytestmark = pytest.mark.django_db


def content(amount: str, *, version: int = 0, note: str = "") -> dict[str, Any]:
    feeds = [{"bait": "caster", "amount": amount, "unit": "pint"}]
    stages = [{"kind": "feed", "end_minute": 300, "feeds": feeds}]
    return {"version": version, "stages": stages, "note": note}


@pytest.fixture
def team(world: Any) -> Any:
    """Maud and Wilmot of the Alders; Wilmot has a plan of his own, the team a template."""
    template_keep(world.captain, team=world.alders, name="Winter river", content=content("2"))
    wilmot_saves(world, "1", note="mine")
    return world


def wilmot_saves(world: Any, amount: str, *, version: int = 0, note: str = "") -> None:
    raw = content(amount, version=version, note=note)
    plan_save(world.member, entry=world.entries["Wilmot"], content=plan_content_parse(raw))


def key(world: Any) -> str:
    return f"template-{world.alders.plan_templates.get().pk}"


def feeds(world: Any, who: str) -> list[str]:
    plan = plan_of_entry(world.entries[who])
    return [f["amount"] for s in plan_json(plan)["stages"] for f in s["feeds"]] if plan else []


def page(world: Any, who: str = "captain") -> tuple[Client, str]:
    client = Client(HTTP_HOST="localhost")
    client.force_login(getattr(world, who))
    return client, f"/desk/teams/{world.alders.pk}/matches/{world.match.pk}/plans/give/"


def test_who_has_a_plan_of_their_own_is_shown_and_not_ticked(team: Any) -> None:
    client, at = page(team)
    body = client.get(at).content.decode()
    maud, wilmot = (team.entries[who].pk for who in ("Maud", "Wilmot"))
    assert f'value="{maud}:0" checked' in body
    assert f'value="{wilmot}:1" aria' in body and "own plan, version 1" in body


def test_the_given_plan_is_theirs_and_undo_brings_back_what_stood_once(team: Any) -> None:
    client, at = page(team)
    ticked = [f"{team.entries['Maud'].pk}:0", f"{team.entries['Wilmot'].pk}:1"]
    sent = {"do": "give", "source": key(team), "to": ticked}
    body = client.post(at, sent, follow=True).content.decode()
    assert (feeds(team, "Maud"), feeds(team, "Wilmot")) == (["2"], ["2"])
    row = AuditEntry.objects.get(verb="plans.given")
    assert row.person == team.captain and row.detail["entries"] == 2
    where, fields = undo_in(body)
    for _time in range(2):
        client.post(where, fields)
        assert (feeds(team, "Maud"), feeds(team, "Wilmot")) == ([], ["1"])
        plan = Plan.objects.get(entry=team.entries["Wilmot"])
        assert (plan.note, plan.version) == ("mine", 3)
    assert AuditEntry.objects.filter(verb="plans.taken_back").count() == 1


def test_a_plan_saved_after_the_captain_looked_is_left_out_by_name(team: Any) -> None:
    client, at = page(team)
    wilmot_saves(team, "3", version=1)
    sent = {"do": "give", "source": key(team), "to": [f"{team.entries['Wilmot'].pk}:1"]}
    body = client.post(at, sent, follow=True).content.decode()
    assert "Left out: Wilmot" in body and "Nobody was given the plan" in body
    assert feeds(team, "Wilmot") == ["3"]
    assert not AuditEntry.objects.filter(verb="plans.given").exists()


def test_taking_back_leaves_alone_what_was_changed_since(team: Any) -> None:
    wilmot = team.entries["Wilmot"]
    of = {"team": team.alders, "match": team.match}
    done = plans_give(team.captain, **of, key=key(team), seen={wilmot.pk: 1})
    wilmot_saves(team, "4", version=2)
    back = plans_take_back(team.captain, **of, given=done.given)
    assert not back.given and [name for name, _why in back.left_out] == [wilmot.angler.name]
    assert feeds(team, "Wilmot") == ["4"]


@pytest.mark.parametrize(
    ("source", "to", "said"),
    [
        ("template-0", "{maud}:0", "no longer there"),
        ("plan-{rival}", "{maud}:0", "no longer there to give"),
        ("what", "{maud}:0", "no longer there to give"),
        ("plan-{wilmot}", "", "Nobody is ticked"),
        ("plan-{wilmot}", "{wilmot}:1", "Nobody was given"),
        ("plan-{wilmot}", "{rival}:0", "Nobody was given"),
        ("plan-{wilmot}", "x:y", "Nobody is ticked"),
    ],
)
def test_what_cannot_be_given_says_why_and_changes_nothing(
    team: Any, source: str, to: str, said: str
) -> None:
    raw = plan_content_parse(content("9"))
    plan_save(team.secretary, entry=team.entries["Perrin"], content=raw)
    pks = {"maud": "Maud", "wilmot": "Wilmot", "rival": "Perrin"}
    named = {name: team.entries[first].pk for name, first in pks.items()}
    client, at = page(team)
    sent = {"do": "give", "source": source.format(**named), "to": to.format(**named)}
    assert said in client.post(at, sent).content.decode()
    assert (feeds(team, "Maud"), feeds(team, "Wilmot")) == ([], ["1"])


def test_a_mates_plan_can_be_given_and_only_by_who_captains_the_team(team: Any) -> None:
    maud, wilmot = team.entries["Maud"], team.entries["Wilmot"]
    given = {"team": team.alders, "match": team.match, "key": f"plan-{wilmot.pk}"}
    for who in ("member", "rival"):
        with pytest.raises(Problem):
            plans_give(getattr(team, who), **given, seen={maud.pk: 0})
    plans_give(team.captain, **given, seen={maud.pk: 0})
    assert feeds(team, "Maud") == ["1"]


def test_a_plan_that_cannot_be_theirs_leaves_them_out_with_the_reason(team: Any) -> None:
    raw = content("2")
    raw["stages"][0]["feeds"][0]["bait"] = "zander-dust"
    row = template_keep(team.captain, team=team.alders, name="Old", content=raw)
    of = {"team": team.alders, "match": team.match}
    seen = {team.entries["Maud"].pk: 0}
    done = plans_give(team.captain, **of, key=f"template-{row.pk}", seen=seen)
    assert not done.given and done.left_out[0][1]
    nothing = [Given(team.entries["Perrin"].pk, "Perrin", 1, None)]
    assert not plans_take_back(team.captain, **of, given=nothing).given


def test_a_program_reads_who_would_get_it_and_gives_it_as_the_page_does(team: Any) -> None:
    client, _at = page(team)
    at = f"/api/v1/teams/{team.alders.pk}/matches/{team.match.pk}/plans"
    told = client.get(at).json()
    assert next(one["key"] for one in told["sources"]) == key(team)
    takers = {one["entry"]: (one["version"], one["own"]) for one in told["takers"]}
    maud, wilmot = (team.entries[who].pk for who in ("Maud", "Wilmot"))
    assert takers == {maud: (0, False), wilmot: (1, True)}
    to = [{"entry": maud, "version": 0}, {"entry": wilmot, "version": 0}]
    sent = {"source": key(team), "entries": to}
    done = client.post(at, sent, content_type="application/json").json()
    assert done["given"] == [{"entry": maud, "version": 1}]
    assert [one["angler"] for one in done["left_out"]] == [team.entries["Wilmot"].angler.name]
    assert feeds(team, "Wilmot") == ["1"]
    bad = client.post(at, {"source": key(team)}, content_type="application/json")
    assert bad.status_code == 400 and "/entries" in bad.content.decode()
