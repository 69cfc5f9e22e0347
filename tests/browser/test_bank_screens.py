"""The bank app's screens: what a thumb, a low sun, an aid and an update meet."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from typing import Any

from playwright.sync_api import Page, expect

from tests.browser.bank_phone import count, go, weigher_with_plan, weights_on_server
from tests.browser.conftest import WIDTHS, window_of
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


def test_every_screen_fits_is_read_by_an_aid_and_in_the_sun_and_logs_what_it_is_for(
    at_match: Callable[..., Page],
    lasting_world: Any,
    axe_violations: Callable[[Page], list[str]],
) -> None:
    weigher_with_plan(lasting_world)
    mix_for(lasting_world, "Maud")
    page = at_match("maud")
    page.get_by_role("button", name="Sun light").click()
    expect(page.locator("html")).to_have_attribute("data-light", "sun")
    found = {}
    for screen in each_screen(page, lasting_world.match):
        found[screen, "in the sun"] = page.evaluate(CONTRASTS)
        page.evaluate("document.documentElement.dataset.light = ''")
        found[screen, "aid"] = axe_violations(page)
        found |= {(screen, width): narrow(page, width) for width in (320, *WIDTHS)}
        page.evaluate("document.documentElement.style.fontSize = '200%'")
        found |= {(screen, width, "twice"): cut_off(page, width) for width in (320, 360)}
        page.evaluate(AS_IT_WAS)
    assert {where: wrong for where, wrong in found.items() if wrong} == {}
    assert len(found) == 8 * len(SCREENS)
    page.goto(f"/bank/#/match/{lasting_world.match.pk}")
    fish_peg_notes_and_signals_are_logged_and_shown(page)


AS_IT_WAS = """() => {
  document.documentElement.style.fontSize = "";
  document.documentElement.dataset.light = "sun";
}"""


def wide(page: Page, width: int) -> list[str]:
    page.set_viewport_size(window_of(width))
    is_wide = page.evaluate("document.documentElement.scrollWidth")
    return [f"{is_wide} wide"] if is_wide != width else []


def narrow(page: Page, width: int) -> list[str]:
    """What runs off the side or is too small for a thumb."""
    return wide(page, width) + list(page.evaluate(TOO_SMALL))


def cut_off(page: Page, width: int) -> list[str]:
    """What runs off the side or out of what it stands in."""
    return wide(page, width) + list(page.evaluate(CUT))


def fish_peg_notes_and_signals_are_logged_and_shown(page: Page) -> None:
    from matches.models import Fact

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


def keys_are_large_and_below(page: Page) -> None:
    """In the lower part of the screen, and 64 pixels high; weights are large."""
    page.get_by_role("button", name="4", exact=True).click()
    keys = page.evaluate(KEYS)
    assert len(keys) == 12
    assert all(top >= 0.4 and height >= 64 and seen for top, height, seen in keys)
    figure = page.locator(".figure, .box b").first
    assert figure.evaluate("e => parseFloat(getComputedStyle(e).fontSize)") >= 32
    page.get_by_role("button", name="Delete the last digit").click()


def test_the_keypad_is_large_and_asks_about_an_unlikely_weight_and_keeps_none_beyond_the_scales(
    at_match: Callable[..., Page], lasting_world: Any
) -> None:
    page = at_match("tamsin")
    go(page, "Weigh in")
    page.locator(".pegs a[href$='/weigh/1']").click()
    keys_are_large_and_below(page)
    digits_type(page, "2000001")
    expect(page.get_by_role("alert").filter(has_text="2000.000 kg is the most")).to_be_visible()
    expect(page.get_by_role("button", name="Keep it")).to_be_disabled()
    for _ in "2000001":
        page.get_by_role("button", name="Delete the last digit").click()
    digits_type(page, "42500")
    page.get_by_label("Maud Ferris agrees").check()
    page.get_by_role("button", name="Keep it").click()
    expect(page.get_by_text("Is that right?")).to_be_visible()
    expect(count(page, "kept")).to_have_text("0")
    page.get_by_role("button", name="Type it again").click()
    page.get_by_role("button", name="Keep it").click()
    page.get_by_role("button", name="Yes, keep it").click()
    expect(count(page, "sent")).to_have_text("1")
    assert weights_on_server() == {"1": [42500]}


def digits_type(page: Page, digits: str) -> None:
    for digit in digits:
        page.get_by_role("button", name=digit, exact=True).click()


def test_pounds_ounces_and_drams_are_typed_on_large_keys_and_reach_the_server_as_drams(
    at_match: Callable[..., Page], lasting_world: Any
) -> None:
    from matches.models import WeighIn

    lasting_world.match.weight_unit = "dr"
    lasting_world.match.save()
    page = at_match("tamsin")
    page.goto(f"/bank/#/match/{lasting_world.match.pk}/weigh/1")
    keys_are_large_and_below(page)
    page.get_by_role("button", name="9", exact=True).click()
    page.get_by_role("button", name="0 ounces").click()
    page.get_by_role("button", name="6", exact=True).click()
    page.get_by_role("button", name="Keep it").click()
    expect(count(page, "sent")).to_have_text("1")
    # 9 lb 6 oz = (9 × 16 + 6) × 16 drams
    assert list(WeighIn.objects.values_list("weight", flat=True)) == [2400]
