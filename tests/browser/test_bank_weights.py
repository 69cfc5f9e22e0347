"""Weights on the bank app: refused, disputed, taken back, unlikely, or carried in a file."""

from __future__ import annotations

import re
from collections.abc import Callable
from typing import Any

from playwright.sync_api import Page, expect

from tests.browser.bank_phone import (
    count,
    go,
    open_match,
    rest_here,
    weigh,
    weight_refused,
    weights_on_server,
)


def test_a_refused_fact_stays_readable_until_it_is_put_aside(
    signed_in: Callable[..., Page], lasting_world: Any
) -> None:
    page = signed_in("tamsin")
    open_match(page)
    rest_here(page)
    weight_refused(page, lasting_world.match)
    expect(count(page, "kept")).to_have_text("0")
    page.goto("/bank/#/phone")
    drawer = page.locator("[data-list=refused]")
    expect(drawer).to_contain_text("Peg 1 Net 1, 4.250 kg")
    expect(drawer).to_contain_text('This match is weighed in "dr": convert it.')
    page.reload()
    expect(drawer).to_contain_text("4.250 kg")
    drawer.get_by_role("button", name="Put aside").click()
    expect(count(page, "refused")).to_have_text("0")
    assert weights_on_server() == {}


def test_two_phones_with_two_weights_both_keep_theirs_and_are_told(
    signed_in: Callable[..., Page], lasting_world: Any
) -> None:
    first, second = signed_in("tamsin"), signed_in("idris")
    for page in (first, second):
        open_match(page)
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


def test_a_weigh_in_can_be_taken_back_and_corrected(
    signed_in: Callable[..., Page], lasting_world: Any
) -> None:
    from matches.models import Fact

    page = signed_in("tamsin")
    open_match(page)
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


def test_taking_a_correction_back_leaves_what_it_corrected(
    signed_in: Callable[..., Page], lasting_world: Any
) -> None:
    page = signed_in("tamsin")
    open_match(page)
    rest_here(page)
    page.context.set_offline(True)
    expect(page.get_by_text("Results: once there is signal")).to_be_visible()
    go(page, "Weigh in")
    weigh(page, "1", "4250")
    weigh(page, "1", "4520")
    page.get_by_role("button", name="Undo").click()
    expect(page.locator(".pegs a[href$='/weigh/1']")).to_contain_text("4.250 kg")
    page.context.set_offline(False)
    expect(count(page, "sent")).to_have_text("3")
    assert weights_on_server() == {"1": [4250]}


def test_an_unlikely_weight_is_asked_about_and_kept_if_the_weigher_says_so(
    signed_in: Callable[..., Page], lasting_world: Any
) -> None:
    page = signed_in("tamsin")
    open_match(page)
    go(page, "Weigh in")
    page.locator(".pegs a[href$='/weigh/1']").click()
    for digit in "42500":
        page.get_by_role("button", name=digit, exact=True).click()
    page.get_by_label("Maud Ferris agrees").check()
    page.get_by_role("button", name="Keep it").click()
    expect(page.get_by_text("Is that right?")).to_be_visible()
    expect(count(page, "kept")).to_have_text("0")
    page.get_by_role("button", name="Type it again").click()
    page.get_by_role("button", name="Keep it").click()
    page.get_by_role("button", name="Yes, keep it").click()
    expect(count(page, "sent")).to_have_text("1")
    assert weights_on_server() == {"1": [42500]}


def test_unsent_facts_can_be_saved_to_a_file_and_read_back_on_another_phone(
    signed_in: Callable[..., Page], lasting_world: Any, tmp_path: Any
) -> None:
    old = signed_in("tamsin")
    open_match(old)
    rest_here(old)
    old.context.set_offline(True)
    go(old, "Weigh in")
    weigh(old, "1", "4250")
    old.goto("/bank/#/phone")
    with old.expect_download() as download:
        old.get_by_role("button", name="Save the unsent to a file").click()
    saved = tmp_path / "unsent.json"
    download.value.save_as(saved)
    new = signed_in("tamsin")
    new.goto("/bank/#/phone")
    expect(new.get_by_text("Signed in as Tamsin Rook")).to_be_visible()
    new.locator("input[type=file]").set_input_files(saved)
    expect(count(new, "sent")).to_have_text("1")
    assert weights_on_server() == {"1": [4250]}
    old.context.set_offline(False)
    expect(count(old, "sent")).to_have_text("1")
    assert weights_on_server() == {"1": [4250]}
