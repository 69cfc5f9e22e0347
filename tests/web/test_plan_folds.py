"""The plan editor's folded stages and mixes, its sum alone, and the throws in force."""

from __future__ import annotations

import re
from typing import Any

import pytest
from django.db import connection
from django.test import Client
from django.test.utils import CaptureQueriesContext

from bait.models import Plan, ThrowSize
from tests.clients import signed_in
from tests.web.test_plan_pages import BALLS, MIX, form, stage

CLOUD = {key.replace("mix-0", "mix-1"): value for key, value in MIX.items()} | {"mix-1-name": "b"}


@pytest.fixture
def member(world: Any) -> Client:
    return signed_in(world.member)


@pytest.fixture
def plan_page(world: Any) -> str:
    return f"/desk/plans/{world.match.pk}/"


def opened(text: str) -> list[str]:
    """The stages and mixes that stand open, in the order of the page."""
    return re.findall(r'<details class="stage[^"]*" id="([^"]+)" open>', text)


def said(text: str, row: str) -> str:
    found = re.search(rf'id="{row}-said">([^<]*)<', text)
    assert found is not None
    return found[1]


def test_a_stage_folds_to_its_kind_minutes_and_baits(member: Client, plan_page: str) -> None:
    fields = {**MIX, **stage(0, every_seconds="240", start_minute="-5", **BALLS)}
    text = member.post(plan_page, form(do="check", **fields)).content.decode()
    assert said(text, "stage-0") == "Feed long, −5 to 300 min, every 240 s: 8 balls, Caster"
    assert said(text, "mix-0") == "base: Hemp, Caster"
    bare = {"feed-0-bait": "gone", "feed-0-amount": "", "end_minute": "", "line": " "}
    odd = form(do="check", **{**stage(0, **bare), "stage-0-kind": "unheard of"})
    text = member.post(plan_page, odd).content.decode()
    assert said(text, "stage-0") == "Feed, 0 to ? min: no bait yet"


def test_the_stage_in_work_stands_open_and_those_that_are_filled_in_fold(
    member: Client, plan_page: str
) -> None:
    sent = {**form(**MIX), **stage(1, line="short"), **stage(2, kind="hook")}

    def after(do: str) -> list[str]:
        return opened(member.post(plan_page, {**sent, "do": do}).content.decode())

    assert opened(member.get(plan_page).content.decode()) == ["stage-0", "stage-1"]  # all to fill
    assert after("check") == []
    assert after("add-feed-1") == ["stage-1"]
    assert after("drop-feed-1-0") == ["stage-1"]
    assert after("add-stage") == ["stage-3"]
    assert after("add-mix") == ["mix-1"]
    assert after("add-part-0") == after("drop-part-0-0") == ["mix-0"]
    sent["stage-2-feed-0-amount"] = "much"
    assert after("check") == ["stage-2"]
    sent |= {"stage-2-feed-0-amount": "1", "stage-1-end_minute": "x"}
    assert after("save") == ["stage-1"]
    assert not Plan.objects.exists()


def test_adding_up_a_wrong_plan_leaves_its_blank_rows_where_they_are(
    member: Client, plan_page: str
) -> None:
    blank = {"feed-0-bait": "", "feed-0-amount": "", "feed-0-unit": "pint"}
    second = {"feed-1-bait": "hemp", "feed-1-amount": "much", "feed-1-unit": "pint"}
    sent = {**form(do="check", **CLOUD), **stage(0, **blank, **second, **BALLS)}
    sent |= {"mix-0-name": "", "mix-0-part-0-bait": "", "mix-0-part-0-amount": ""}
    sent["stage-0-balls_mix"] = "1"
    text = member.post(plan_page, sent).content.decode()
    assert re.search(r'name="stage-0-feed-1-amount" value="much"[^>]* aria-invalid="true"', text)
    assert 'name="stage-0-feed-0-amount" value=""' in text
    assert '<option value="1" selected>b</option>' in text
    assert 'name="mix-1-name" value="b"' in text


def test_the_sum_alone_says_what_the_form_comes_to_and_has_nothing_to_type_into(
    member: Client, plan_page: str
) -> None:
    fields = {**stage(0, **{"feed-0-amount": "5"}), **stage(1, line="short", kind="hook")}
    sent = form(do="sum", **fields)
    member.post(plan_page, sent)
    with CaptureQueriesContext(connection) as seen:
        text = member.post(plan_page, sent).content.decode()
    assert len(seen) <= 7
    assert "6 pints" in text and "Over the limit: Animal bait" in text
    assert said(text, "stage-1") == "Hook baits short, 0 to 300 min: Caster"
    assert not re.search("<(input|select|textarea|button|form|html)", text)
    text = member.post(plan_page, {**sent, "stage-0-feed-0-amount": "much"}).content.decode()
    assert "Does not add up yet" in text and "press “Add it up”" in text
    assert not Plan.objects.exists()


def test_the_page_says_which_throws_are_in_force(
    world: Any, member: Client, plan_page: str
) -> None:
    text = member.get(plan_page).content.decode()
    assert "a pinch 10 ml, a handful 80 ml, a pouch 40 ml." in text
    angler = world.entries["Wilmot"].angler
    ThrowSize.objects.create(angler=angler, throw="pouch", ml=35)
    ThrowSize.objects.create(angler=angler, throw="pinch", ml=8, bait=world.baits["hemp"])
    text = member.get(plan_page).content.decode()
    assert (
        "a pinch 10 ml, a handful 80 ml, a pouch 35 ml (yours, measured), "
        "a pinch of Hemp 8 ml (yours, measured)."
    ) in text
