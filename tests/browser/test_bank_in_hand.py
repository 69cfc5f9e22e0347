"""The bank app in the hand: by either thumb, with the screen on, with a shake and a tone."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from playwright.sync_api import Locator, Page, expect

from tests.browser.bank_phone import go

WAKES = """() => { window.held = 0; window.asked = 0;
  Object.defineProperty(navigator, "wakeLock", { value: { request: async () => {
    window.held += 1; window.asked += 1;
    return { release: async () => { window.held -= 1; } };
  } } }); }"""


def test_the_screen_stays_on_while_weighing_and_the_phone_is_as_its_person_likes_it(
    at_match: Callable[..., Page], lasting_world: Any
) -> None:
    page, match = at_match("tamsin"), lasting_world.match
    the_screen_stays_on_while_weighing_and_no_longer(page, match)
    for_the_left_thumb_what_is_tapped_changes_sides_and_stays_so(page, match)
    a_shake_and_a_tone_are_optional_and_the_tick_is_always_shown(page, match)


def the_screen_stays_on_while_weighing_and_no_longer(page: Page, match: Any) -> None:
    page.evaluate(WAKES)
    go(page, "Weigh in")
    page.get_by_role("link", name="Next along").click()
    expect(page.get_by_role("button", name="Keep it")).to_be_visible()
    assert page.evaluate("window.held") == 1
    page.evaluate("document.dispatchEvent(new Event('visibilitychange'))")
    assert page.evaluate("window.asked") == 3
    page.goto(f"/bank/#/match/{match.pk}")
    expect(page.get_by_role("link", name="Weigh in")).to_be_visible()
    # Coming into sight took hold once more without letting go, as a phone does by itself.
    assert page.evaluate("window.held") == 1
    page.evaluate("document.dispatchEvent(new Event('visibilitychange'))")
    assert page.evaluate("window.asked") == 3


def side(locator: Locator) -> float:
    box = locator.bounding_box()
    assert box
    return box["x"] + box["width"] / 2


def for_the_left_thumb_what_is_tapped_changes_sides_and_stays_so(page: Page, match: Any) -> None:
    keypad = f"/bank/#/match/{match.pk}/weigh/1"
    fish = f"/bank/#/match/{match.pk}/fish"
    for left in (False, True):
        if left:
            page.goto("/bank/#/phone")
            page.get_by_role("button", name="Left", exact=True).click()
            page.reload()
            expect(page.get_by_role("button", name="Left")).to_have_attribute(
                "aria-pressed", "true"
            )
        page.goto(keypad)
        erase = page.get_by_role("button", name="Delete the last digit")
        expect(erase).to_be_visible()
        assert (side(erase) < 180) is left
        assert side(page.get_by_role("button", name="1", exact=True)) < 180
        page.goto(fish)
        row = page.locator(".fish-row").first
        expect(row).to_be_visible()
        assert (side(row.locator("b").first) > side(row.get_by_role("button").first)) is left


FELT = """() => { window.felt = [];
  navigator.vibrate = (ms) => window.felt.push(`shake ${ms}`);
  window.AudioContext = class { currentTime = 0; destination = {};
    createGain() { return { gain: {}, connect: (to) => to }; }
    createOscillator() {
      return { frequency: {}, connect: (to) => to, stop() {},
        start: () => window.felt.push("tone") };
    } }; }"""

# What is chosen is tried out at once, as soon as its part is here.
TRIED = """() => new Promise((come) => {
  const see = () => (window.felt.length ? come() : setTimeout(see, 20));
  see();
})"""


def a_shake_and_a_tone_are_optional_and_the_tick_is_always_shown(page: Page, match: Any) -> None:
    page.evaluate(FELT)
    for shake, tone, felt in (
        (True, False, ["shake 30"]),
        (False, True, ["tone"]),
        (False, False, []),
    ):
        page.goto("/bank/#/phone")
        page.evaluate("window.felt = []")
        page.get_by_label("Buzz when something is kept").set_checked(shake)
        page.get_by_label("A short tone when something is kept").set_checked(tone)
        if tone:
            page.evaluate(TRIED)
        page.evaluate("window.felt = []")
        page.goto(f"/bank/#/match/{match.pk}/fish")
        page.get_by_role("button", name="roach, small").click()
        expect(page.locator(".lately")).to_contain_text("kept")
        assert page.evaluate("window.felt") == felt
        page.locator(".lately").get_by_role("button", name="Undo").click()
        expect(page.get_by_role("button", name="roach, small, about 15 g: 0")).to_be_visible()
