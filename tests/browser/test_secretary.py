"""The secretary's day in a real browser, and the board on a phone."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import pytest
from playwright.sync_api import Page, expect

from matches.models import Bulletin, Disagreement, WeighIn
from matches.writes.bulletins import bulletin_publish
from tests.browser.conftest import FaultsSeen
from tests.fished import weigh

PageAt = Callable[..., Page]
Axe = Callable[[Page], list[str]]


def at(world: Any, page: str = "") -> str:
    return f"/desk/matches/{world.match.pk}/{page}"


def test_the_weigh_board_fills_by_itself_and_leaves_what_is_typed_alone(
    lasting_world: Any, signed_in: PageAt
) -> None:
    page = signed_in("idris", 1280)
    page.goto(at(lasting_world, "weigh/"))
    expect(page.locator("#weighed")).to_have_text("0 of 4 weighed")
    expect(page.locator("#live")).to_have_text("The board fills by itself.")
    page.get_by_label("kg", exact=True).fill("7")
    weigh(lasting_world, "2", 3180)
    expect(page.locator("#weighed")).to_have_text("1 of 4 weighed")
    expect(page.locator("#peg-2")).to_contain_text("3.180 kg")
    expect(page.get_by_label("kg", exact=True)).to_have_value("7")


def test_two_weights_for_a_net_appear_and_one_tap_settles_them(
    lasting_world: Any, signed_in: PageAt, axe_violations: Axe
) -> None:
    page = signed_in("idris", 360)
    page.goto(at(lasting_world, "weigh/"))
    expect(page.locator("#live")).to_have_text("The board fills by itself.")
    weigh(lasting_world, "1", 4250)
    weigh(lasting_world, "1", 4520, by=lasting_world.secretary)
    expect(page.get_by_role("button", name="4.520 kg stands")).to_be_visible()
    assert axe_violations(page) == []
    page.get_by_role("button", name="4.520 kg stands").click()
    expect(page.get_by_text("Settled. Both facts stay on record.")).to_be_visible()
    expect(page.get_by_role("heading", name="To settle")).to_have_count(0)
    assert Disagreement.objects.get().ruling is not None
    assert WeighIn.objects.get(stands=True).weight == 4520


def test_when_the_server_is_away_the_board_says_so_and_comes_back(
    lasting_world: Any, signed_in: PageAt
) -> None:
    page = signed_in("idris", 768)
    page.goto(at(lasting_world, "weigh/"))
    expect(page.locator("#live")).to_have_text("The board fills by itself.")
    page.context.set_offline(True)
    expect(page.locator("#live")).to_contain_text("No answer from the server")
    weigh(lasting_world, "5", 2000)
    page.context.set_offline(False)
    expect(page.locator("#peg-5")).to_contain_text("2.000 kg")
    expect(page.locator("#live")).to_have_text("The board fills by itself.")


def test_a_day_from_the_draw_to_the_confirmed_result(
    lasting_world: Any, signed_in: PageAt, page_at: PageAt
) -> None:
    page = signed_in("idris", 1280)
    page.goto(at(lasting_world, "draw/"))
    page.get_by_label("Team: one of each team in each section").check()
    page.get_by_role("button", name="Publish the commitment").click()
    page.get_by_role("button", name="Hold the draw now").click()
    expect(page.get_by_text("held, and it checks")).to_be_visible()
    pegs = lasting_world.match.drawn_pegs.values_list("section_peg__peg__number", flat=True)
    page.goto(at(lasting_world, "weigh/"))
    for n, peg in enumerate(sorted(pegs), 1):
        page.get_by_label("Peg", exact=True).select_option(peg)
        page.get_by_label("kg", exact=True).fill(str(n))
        page.get_by_label("g", exact=True).fill("250")
        page.get_by_role("button", name="Log the weight").click()
        expect(page.locator(".messages")).to_contain_text(f"Peg {peg}: {n}.250 kg logged.")
    page.goto(at(lasting_world, "publish/"))
    page.get_by_role("button", name="Publish as provisional").click()
    expect(page.get_by_text("Bulletin 1 is out.")).to_be_visible()
    page.get_by_role("button", name="Publish as confirmed").click()
    expect(page.get_by_text("Bulletin 2 is out.")).to_be_visible()
    assert [b.confirmed for b in Bulletin.objects.order_by("number")] == [False, True]
    board = page_at(360)
    board.goto("/board/otterbeck/june-open/")
    expect(board.get_by_text("4.250 kg").first).to_be_visible()
    expect(board.locator(".result-head .status")).to_contain_text("confirmed")


@pytest.fixture
def published(lasting_world: Any) -> Any:
    """A result, and a correction of it."""
    for peg, weight in [("1", 4250), ("2", 0), ("4", 3180)]:
        weigh(lasting_world, peg, weight)
    bulletin_publish(lasting_world.secretary, match=lasting_world.match)
    weigh(lasting_world, "5", 9990)
    bulletin_publish(
        lasting_world.secretary, match=lasting_world.match, reason="Odette weighed in late."
    )
    return lasting_world


PUBLIC = [
    "/",
    "/sign-in/",
    "/board/",
    "/board/otterbeck/",
    "/board/otterbeck/june-open/",
    "/board/otterbeck/june-open/1/",
    "/board/otterbeck/june-open/draw/",
    "/board/nobody/",
]


def test_public_pages_fit_the_screen_and_an_aid_can_read_them(
    published: Any, page_at: PageAt, faults_seen: FaultsSeen
) -> None:
    page = page_at(360)
    for address in PUBLIC:
        page.goto(address)
        assert (address, faults_seen(page, f"public{address.replace('/', '-')}")) == (address, [])


def test_desk_pages_fit_the_screen_and_an_aid_can_read_them(
    published: Any, signed_in: PageAt, faults_seen: FaultsSeen
) -> None:
    page = signed_in("idris", 360)
    maud = published.entries["Maud"].pk
    pages = ["", "weigh/", "weighers/", "draw/", "publish/", f"entrants/{maud}/"]
    for address in ["/desk/", *(at(published, p) for p in pages)]:
        page.goto(address)
        assert (address, faults_seen(page, f"desk{address.replace('/', '-')}")) == (address, [])


@pytest.mark.parametrize("light", ["sun", "night"])
def test_the_chosen_light_stays_and_can_be_read(
    published: Any, signed_in: PageAt, axe_violations: Axe, light: str
) -> None:
    page = signed_in("idris", 360)
    page.get_by_role("button", name=light.title()).click()
    for address in [at(published, "weigh/"), "/board/otterbeck/june-open/"]:
        page.goto(address)
        expect(page.locator("html")).to_have_attribute("data-light", light)
        assert axe_violations(page) == []


def test_in_the_sun_every_text_has_seven_to_one(
    published: Any, signed_in: PageAt, axe_violations: Axe
) -> None:
    page = signed_in("idris", 360)
    page.get_by_role("button", name="Sun").click()
    page.goto(at(published, "weigh/"))
    axe_violations(page)  # brings axe in
    found = page.evaluate(
        "axe.run(document, {runOnly: ['color-contrast-enhanced'],"
        " rules: {'color-contrast-enhanced': {enabled: true}}})"
    )
    assert [n["html"] for v in found["violations"] for n in v["nodes"]] == []


def test_what_is_pressed_is_at_least_48_pixels_high(published: Any, signed_in: PageAt) -> None:
    page = signed_in("idris", 360)
    for address in ["/desk/", *(at(published, p) for p in ["", "weigh/", "draw/", "publish/"])]:
        page.goto(address)
        low = page.evaluate(
            "[...document.querySelectorAll("
            "'button, .button, nav a, th a, select, input[type=number]')]"
            ".filter(e => e.offsetParent && e.getBoundingClientRect().height < 47.5)"
            ".map(e => e.outerHTML.slice(0, 90))"
        )
        assert (address, low) == (address, [])


def test_the_board_prints_on_one_sheet(published: Any, page_at: PageAt) -> None:
    page = page_at(1280)
    page.goto("/board/otterbeck/june-open/1/")
    pdf = page.pdf(format="A4", print_background=False)
    assert pdf.count(b"/Type /Page\n") == 1


def test_the_board_reads_without_javascript(published: Any, page_at: PageAt) -> None:
    page = page_at(360, java_script_enabled=False)
    page.goto("/board/otterbeck/june-open/")
    expect(page.get_by_text("9.990 kg").first).to_be_visible()
    expect(page.get_by_text("Odette weighed in late.").first).to_be_visible()
