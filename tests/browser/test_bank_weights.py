"""Weights on the bank app: refused, disputed, corrected or taken back."""

from __future__ import annotations

import re
from collections.abc import Callable
from typing import Any

from playwright.sync_api import Page, expect

from tests.browser.bank_phone import (
    count,
    go,
    rest_here,
    weigh,
    weight_refused,
    weights_on_server,
)


def test_a_refused_fact_stays_readable_and_before_the_secretary_until_it_is_put_aside(
    at_match: Callable[..., Page], signed_in: Callable[..., Page], lasting_world: Any
) -> None:
    page, desk = at_match("tamsin"), signed_in("idris", desk=False)
    rest_here(page)
    weight_refused(page, lasting_world.match)
    expect(count(page, "kept")).to_have_text("0")
    page.goto("/bank/#/phone")
    drawer = page.locator("[data-list=refused]")
    expect(drawer).to_contain_text("Peg 1 Net 1, 4.250 kg")
    expect(drawer).to_contain_text('This match is weighed in "dr": convert it.')
    page.reload()
    expect(drawer).to_contain_text("4.250 kg")
    desk.goto(f"/desk/matches/{lasting_world.match.pk}/weigh/")
    told = desk.get_by_text("1 fact from the phone of Tamsin Rook was refused")
    expect(told).to_be_visible()
    expect(desk.get_by_text("still to come from the phone")).to_have_count(0)
    drawer.get_by_role("button", name="Put aside").click()
    expect(count(page, "refused")).to_have_text("0")
    expect(count(page, "sent")).to_have_text("1")
    desk.reload()
    expect(told).to_have_count(0)
    assert weights_on_server() == {}


def test_two_phones_with_two_weights_both_keep_theirs_and_are_told(
    at_match: Callable[..., Page], lasting_world: Any
) -> None:
    first, second = at_match("tamsin"), at_match("idris")
    for page in (first, second):
        rest_here(page)
        page.context.set_offline(True)
        go(page, "Weigh in")
    weigh(first, "1", "4250")
    weigh(second, "1", "4520")
    first.context.set_offline(False)
    expect(count(first, "sent")).to_have_text("1")
    second.context.set_offline(False)
    expect(count(second, "sent")).to_have_text("1")
    assert weights_on_server() == {"1": [4250, 4520]}
    expect(second.locator(".pegs a[href$='/weigh/1']")).to_contain_text("to settle")
    second.locator(".pegs a[href$='/weigh/1']").click()
    # What is typed takes the place of one's own, and of no other.
    expect(second.locator(".before")).to_have_text(
        [re.compile("^4.250 kg was weighed by Tamsin Rook"), re.compile("^Kept before: 4.520 kg")]
    )
    second.goto("/bank/#/phone")
    expect(second.locator("[data-list=disputed]")).to_contain_text(
        "Differs from what Tamsin Rook logged"
    )


def test_a_weigh_in_can_be_corrected_and_taken_back_which_leaves_what_it_corrected(
    at_match: Callable[..., Page], lasting_world: Any
) -> None:
    from matches.models import Fact

    page = at_match("tamsin")
    go(page, "Weigh in")
    weigh(page, "1", "4250")
    page.get_by_role("button", name="Undo").click()
    expect(count(page, "sent")).to_have_text("2")
    expect(page.locator(".pegs a[href$='/weigh/1']")).to_contain_text("to weigh")
    assert weights_on_server() == {}
    weigh(page, "2", "980")
    weigh(page, "2", "890")
    expect(count(page, "sent")).to_have_text("4")
    assert weights_on_server() == {"2": [890]}
    assert Fact.objects.count() == 4
    go(page, "Back")
    taking_a_correction_back_leaves_what_it_corrected(page)


def taking_a_correction_back_leaves_what_it_corrected(page: Page) -> None:
    rest_here(page)
    page.context.set_offline(True)
    expect(page.get_by_text("Results: once there is signal")).to_be_visible()
    go(page, "Weigh in")
    weigh(page, "1", "4250")
    weigh(page, "1", "4520")
    page.get_by_role("button", name="Undo").click()
    expect(page.locator(".pegs a[href$='/weigh/1']")).to_contain_text("4.250 kg")
    page.context.set_offline(False)
    expect(count(page, "sent")).to_have_text("7")
    assert weights_on_server() == {"1": [4250], "2": [890]}
