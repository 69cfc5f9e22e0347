"""Nothing moves under a thumb: what comes later, or changes by a tap, finds its place kept."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from playwright.sync_api import Page, Route, expect

from tests.browser.bank_phone import begun, go, go_to_match, plan_of_two_lines

# What the browser itself says moved, from the moment that what is tapped is there.
WATCH = """(tapped) => {
  window.moved = [];
  const from = new Promise((there) => {
    const look = () => (document.querySelector(tapped)
      ? requestAnimationFrame(there) : requestAnimationFrame(look));
    look();
  });
  new PerformanceObserver(async (list) => {
    const since = await from;
    for (const entry of list.getEntries()) {
      if (entry.startTime <= since) continue;
      for (const { node, previousRect: from, currentRect: to } of entry.sources) {
        // Words are centred in their button anew.
        if (from.y !== to.y) window.moved.push(`${node?.className}: ${from.y} to ${to.y}`);
      }
    }
  }).observe({ type: "layout-shift" });
}"""
TWO_FRAMES = "() => new Promise((s) => requestAnimationFrame(() => requestAnimationFrame(s)))"


# Where it is, what is tapped there, the part that comes later and what that brings, and what a
# tap adds.
SCREENS = [
    ("Log feed", ".again", "feed-more.js", ".stands", ".log li"),
    ("Fish", ".fish-key", "fish-more.js", ".catch", ".fish-many"),
]


def test_nothing_moves_once_the_buttons_are_there(
    signed_in: Callable[..., Page], lasting_world: Any
) -> None:
    begun(lasting_world, minutes=4)
    plan_of_two_lines(lasting_world, "Wilmot")
    page = signed_in("wilmot", desk=False, service_workers="block")
    held: list[Route] = []

    def hold(route: Route) -> None:
        held.append(route)

    for way, tapped, part, brought, after in SCREENS:
        page.route(f"**/screens/{part}", hold)
        page.goto("about:blank")
        page.goto("/bank/")
        go_to_match(page)
        page.evaluate(WATCH, tapped)
        with page.expect_request(f"**/screens/{part}"):
            go(page, way)
        button = page.locator(tapped).first
        expect(button).to_be_visible()
        expect(page.locator(brought)).to_have_count(0)
        place = button.bounding_box()
        while held:
            held.pop().continue_()
        expect(page.locator(brought)).to_be_visible()
        button.click()
        expect(page.locator(after)).to_have_count(1)
        page.evaluate(TWO_FRAMES)
        assert page.evaluate("window.moved") == [], way
        assert button.bounding_box() == place, way
