"""The secretary's day in a real browser, and the board on a phone."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import pytest
from playwright.sync_api import Page, expect

from matches.models import Disagreement, WeighIn
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


def test_desk_pages_fit_the_screen_and_a_thumb_and_an_aid_can_read_them(
    published: Any, signed_in: PageAt, faults_seen: FaultsSeen
) -> None:
    page = signed_in("idris", 360)
    maud = published.entries["Maud"].pk
    pages = ["", "weigh/", "weighers/", "draw/", "publish/", f"entrants/{maud}/"]
    for address in ["/desk/", *(at(published, p) for p in pages)]:
        page.goto(address)
        assert (address, too_low(page)) == (address, [])
        assert (address, faults_seen(page, f"desk{address.replace('/', '-')}")) == (address, [])


def too_low(page: Page) -> list[str]:
    """What is pressed and is less than 48 pixels high."""
    found: list[str] = page.evaluate(
        "[...document.querySelectorAll("
        "'button, .button, nav a, th a, select, input[type=number]')]"
        ".filter(e => e.offsetParent && e.getBoundingClientRect().height < 47.5)"
        ".map(e => e.outerHTML.slice(0, 90))"
    )
    return found


def test_in_the_sun_every_text_has_seven_to_one_and_the_light_stays(
    published: Any, signed_in: PageAt, axe_violations: Axe
) -> None:
    page = light_chosen(signed_in, "sun")
    for address in lit(published):
        page.goto(address)
        expect(page.locator("html")).to_have_attribute("data-light", "sun")
        assert axe_violations(page) == []
        assert too_faint(page) == []


def test_at_night_every_page_can_be_read_and_the_light_stays(
    published: Any, signed_in: PageAt, axe_violations: Axe
) -> None:
    page = light_chosen(signed_in, "night")
    for address in lit(published):
        page.goto(address)
        expect(page.locator("html")).to_have_attribute("data-light", "night")
        assert axe_violations(page) == []


def light_chosen(signed_in: PageAt, light: str) -> Page:
    page = signed_in("idris", 360)
    page.get_by_role("button", name=light.title()).click()
    return page


def lit(world: Any) -> list[str]:
    return [at(world, "weigh/"), "/board/otterbeck/june-open/"]


def too_faint(page: Page) -> list[str]:
    """What has less than seven to one, on a page that axe is in already."""
    found = page.evaluate(
        "axe.run(document, {runOnly: ['color-contrast-enhanced'],"
        " rules: {'color-contrast-enhanced': {enabled: true}}})"
    )
    return [n["html"] for v in found["violations"] for n in v["nodes"]]


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
