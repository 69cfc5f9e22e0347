"""The bank app's screens: what a thumb, a low sun, an aid and an update meet."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import Page, expect

from tests.browser.bank_phone import count, go, open_match, plan_for, signal, weigh
from tests.browser.conftest import WIDTHS, sign_in, window_of
from tests.browser.test_mixing import mix_for

SCREENS = ["#/", "#/match/{0}", "#/match/{0}/plan", "#/match/{0}/feed", "#/match/{0}/peg"]
SCREENS += ["#/match/{0}/weigh", "#/match/{0}/weigh/1", "#/match/{0}/mixing", "#/match/{0}/swim"]
SCREENS += ["#/phone"]
SCREENS += ["#/match/{0}/fish", "#/match/{0}/section", "#/match/{0}/care"]
TOO_SMALL = """() => [...document.querySelectorAll("button, a, select, input, summary")]
  .filter((e) => e.offsetParent && !e.matches("[type=file], [type=checkbox]"))
  .map((e) => [e.textContent.trim() || e.name, e.getBoundingClientRect()])
  .filter(([, box]) => box.height < 48 || box.width < 48)
  .map(([name, box]) => `${name}: ${box.width} x ${box.height}`)"""
KEYS = """() => [...document.querySelectorAll(".key")].map((e) => e.getBoundingClientRect())
  .map((box) => [box.top / innerHeight, box.height, box.bottom <= innerHeight])"""
# What is wider than the button, link or field it stands in.
CUT = """() => [...document.querySelectorAll("button, a, summary, h1, h2, p, li, label")]
  .filter((e) => e.offsetParent && !e.closest(".nets, svg") && e.scrollWidth > e.clientWidth + 1
    && getComputedStyle(e).display !== "inline")
  .map((e) => `${e.textContent.trim().slice(0, 40)}: ${e.scrollWidth} in ${e.clientWidth}`)"""
# The relative luminance and ratio of WCAG 2.2, of each text against what lies behind it.
CONTRASTS = """() => {
  const light = (rgb) => {
    const [r, g, b] = rgb.map((v) => v / 255)
      .map((v) => (v <= 0.04045 ? v / 12.92 : ((v + 0.055) / 1.055) ** 2.4));
    return 0.2126 * r + 0.7152 * g + 0.0722 * b;
  };
  const rgba = (text) => text.match(/[\\d.]+/g).map(Number);
  const behind = (e) => {
    for (; e; e = e.parentElement) {
      const [r, g, b, a = 1] = rgba(getComputedStyle(e).backgroundColor);
      if (a === 1) return [r, g, b];
    }
    return [255, 255, 255];
  };
  const walk = document.createTreeWalker(document.body, NodeFilter.SHOW_TEXT);
  const low = [];
  while (walk.nextNode()) {
    const e = walk.currentNode.parentElement;
    if (!walk.currentNode.data.trim() || !e.offsetParent || e.closest("svg, select")) continue;
    const [a, b] = [light(rgba(getComputedStyle(e).color).slice(0, 3)), light(behind(e))];
    const ratio = (Math.max(a, b) + 0.05) / (Math.min(a, b) + 0.05);
    if (ratio < 7) low.push(`${walk.currentNode.data.trim()}: ${ratio.toFixed(2)}`);
  }
  return low;
}"""


def each_screen(page: Page, match: Any) -> Iterator[str]:
    """Every screen in turn, drawn."""
    for screen in SCREENS:
        page.goto("/bank/" + screen.format(match.pk))
        expect(page.get_by_role("heading", level=1)).to_be_visible()
        yield screen


def weigher_with_plan(world: Any) -> None:
    plan_for(world, "Maud")
    mix_for(world, "Maud")
    world.club.memberships.create(person=world.captain, role="weigher", match=world.match)


def test_no_screen_has_an_axe_violation_at_360_pixels(
    signed_in: Callable[..., Page],
    lasting_world: Any,
    axe_violations: Callable[[Page], list[str]],
) -> None:
    weigher_with_plan(lasting_world)
    page = signed_in("maud")
    open_match(page)
    found = {screen: axe_violations(page) for screen in each_screen(page, lasting_world.match)}
    assert found == {screen: [] for screen in SCREENS}


def test_every_target_is_48_pixels_and_nothing_runs_off_the_side(
    signed_in: Callable[..., Page], lasting_world: Any
) -> None:
    weigher_with_plan(lasting_world)
    page = signed_in("maud")
    open_match(page)
    for screen in each_screen(page, lasting_world.match):
        for width in (320, *WIDTHS):
            page.set_viewport_size(window_of(width))
            assert page.evaluate(TOO_SMALL) == [], (screen, width)
            assert page.evaluate("document.documentElement.scrollWidth") == width, screen


def test_with_text_twice_as_large_nothing_runs_off_the_side_and_all_can_be_reached(
    signed_in: Callable[..., Page], lasting_world: Any
) -> None:
    weigher_with_plan(lasting_world)
    page = signed_in("maud")
    open_match(page)
    for screen in each_screen(page, lasting_world.match):
        page.evaluate("document.documentElement.style.fontSize = '200%'")
        for width in (320, 360):
            page.set_viewport_size(window_of(width))
            assert page.evaluate("document.documentElement.scrollWidth") == width, screen
            assert page.evaluate(CUT) == [], (screen, width)


@pytest.mark.parametrize("unit", ["g", "dr"])
def test_keys_are_64_pixels_in_the_lower_part_of_the_screen_and_weights_are_large(
    signed_in: Callable[..., Page], lasting_world: Any, unit: str
) -> None:
    lasting_world.match.weight_unit = unit
    lasting_world.match.save()
    page = signed_in("tamsin")
    open_match(page)
    page.goto(f"/bank/#/match/{lasting_world.match.pk}/weigh/1")
    page.get_by_role("button", name="4", exact=True).click()
    keys = page.evaluate(KEYS)
    assert len(keys) == 12
    assert all(top >= 0.4 and height >= 64 and seen for top, height, seen in keys)
    figure = page.locator(".figure, .box b").first
    assert figure.evaluate("e => parseFloat(getComputedStyle(e).fontSize)") >= 32


def test_every_text_has_a_contrast_of_seven_to_one_in_the_sun(
    signed_in: Callable[..., Page], lasting_world: Any
) -> None:
    weigher_with_plan(lasting_world)
    page = signed_in("maud")
    open_match(page)
    page.get_by_role("button", name="Sun light").click()
    expect(page.locator("html")).to_have_attribute("data-light", "sun")
    for screen in each_screen(page, lasting_world.match):
        assert page.evaluate(CONTRASTS) == [], screen


def test_pounds_ounces_and_drams_reach_the_server_as_drams(
    signed_in: Callable[..., Page], lasting_world: Any
) -> None:
    from matches.models import WeighIn

    lasting_world.match.weight_unit = "dr"
    lasting_world.match.save()
    page = signed_in("tamsin")
    open_match(page)
    page.goto(f"/bank/#/match/{lasting_world.match.pk}/weigh/1")
    page.get_by_role("button", name="9", exact=True).click()
    page.get_by_role("button", name="0 ounces").click()
    page.get_by_role("button", name="6", exact=True).click()
    page.get_by_role("button", name="Keep it").click()
    expect(count(page, "sent")).to_have_text("1")
    # 9 lb 6 oz = (9 × 16 + 6) × 16 drams
    assert list(WeighIn.objects.values_list("weight", flat=True)) == [2400]


def test_fish_peg_notes_and_signals_are_logged_and_shown(
    signed_in: Callable[..., Page], lasting_world: Any
) -> None:
    from matches.models import Fact

    weigher_with_plan(lasting_world)
    page = signed_in("maud")
    open_match(page)
    page.get_by_role("button", name="Start", exact=True).click()
    expect(page.get_by_text("Start sounded").first).to_be_visible()
    go(page, "Fish")
    page.get_by_role("button", name="roach, middling, about 50 g: 0").click()
    page.get_by_role("button", name="roach, middling, about 50 g: 1").click()
    expect(page.get_by_text("an estimate from 2 fish")).to_be_visible()
    go(page, "Back")
    go(page, "My peg")
    page.get_by_label("Depth (cm)").fill("210")
    page.get_by_label("Anything else").fill("weed \u202eylniam")
    page.get_by_role("button", name="Keep the notes").click()
    expect(page.get_by_role("alert").filter(has_text="cannot be stored")).to_be_visible()
    expect(page.get_by_label("Depth (cm)")).to_have_value("210")
    page.get_by_label("Anything else").fill("weed mainly")
    page.get_by_role("button", name="Keep the notes").click()
    expect(page.get_by_text("Depth 210 cm")).to_be_visible()
    expect(count(page, "sent")).to_have_text("4")
    assert list(Fact.objects.order_by("seq").values_list("kind", "peg")) == [
        ("signal", ""),
        ("fish_note", "1"),
        ("fish_note", "1"),
        ("peg_note", "1"),
    ]


def test_a_member_weighs_only_the_own_peg(
    signed_in: Callable[..., Page], lasting_world: Any
) -> None:
    page = signed_in("wilmot")
    open_match(page)
    go(page, "Weigh in")
    expect(page.locator(".pegs a")).to_have_count(1)
    weigh(page, "4", "1500")
    expect(count(page, "sent")).to_have_text("1")


@pytest.mark.fault("signed out with unsent facts")
def test_signing_out_with_unsent_facts_asks_first_and_offers_the_file(
    signed_in: Callable[..., Page], lasting_world: Any
) -> None:
    page = signed_in("tamsin")
    open_match(page)
    page.route("**/api/**", lambda route: route.abort())
    go(page, "Weigh in")
    weigh(page, "1", "4250")
    page.goto("/bank/#/phone")
    page.get_by_role("button", name="Sign out").click()
    expect(page.get_by_text("1 fact is not sent yet.")).to_be_visible()
    page.get_by_role("button", name="Sign out all the same").click()
    page.wait_for_url(re.compile("/$"))
    page.goto("/bank/")
    expect(page.get_by_role("link", name="Sign in")).to_be_visible()
    expect(page.get_by_role("link", name="June Open")).to_have_count(0)
    page.unroute("**/api/**")
    sign_in(page, "tamsin")
    page.goto("/bank/")
    expect(count(page, "sent")).to_have_text("1")


@pytest.mark.fault("update with a half-filled form")
def test_a_new_version_waits_and_is_offered_between_tasks_only(
    signed_in: Callable[..., Page], lasting_world: Any, own_worker: Path
) -> None:
    page = signed_in("tamsin")
    open_match(page)
    page.goto(f"/bank/#/match/{lasting_world.match.pk}/weigh/1")
    page.get_by_role("button", name="4", exact=True).click()
    built = re.sub('(const BUILD = )"[0-9a-f]{12}"', r'\1"000000000000"', own_worker.read_text())
    own_worker.write_text(built)
    page.evaluate("navigator.serviceWorker.getRegistration().then((found) => found.update())")
    offer = page.get_by_role("button", name="Use it now")
    expect(page.get_by_text("0.004 kg")).to_be_visible()
    expect(offer).to_have_count(0)
    go(page, "Back")
    expect(offer).to_be_visible()
    offer.click()
    expect(offer).to_have_count(0)
    page.goto("/bank/#/phone")
    expect(page.get_by_text("Version 000000000000")).to_be_visible()


def test_the_worker_keeps_no_data_and_never_answers_for_the_api(
    signed_in: Callable[..., Page], lasting_world: Any
) -> None:
    page = signed_in("tamsin")
    open_match(page)
    kept = page.evaluate(
        """async () => {
          const names = await caches.keys();
          const keys = await Promise.all(names.map(async (n) => (await caches.open(n)).keys()));
          return [names.length, keys.flat().map((request) => new URL(request.url).pathname)];
        }"""
    )
    assert kept[0] == 1
    assert [path for path in kept[1] if not path.startswith("/static/") and path != "/bank/"] == []
    page.context.set_offline(True)
    answered = page.evaluate("fetch('/api/v1/me').then(() => true, () => false)")
    assert answered is False
    expect(signal(page)).to_have_attribute("data-signal", "no_signal")
