"""Taps and time of what is logged most on the bank: a feed note, a fish, a weigh-in.

Run it with: python tests/bench/bench_thumb.py [rounds]
From the first tap until the head counts what is kept, without signal, on a slowed Chromium: the
median of so many rounds. A thumb's own way between two keys is not in it; the driver's is. Beside
it what as many taps take that keep nothing, on the sun-light button, in the same run.
"""

from __future__ import annotations

import statistics
import sys
from collections.abc import Callable
from functools import partial
from pathlib import Path

sys.path.insert(0, str(Path(__file__).resolve().parents[2]))

from playwright.sync_api import Page

from tests.bench import bench_bank as bank  # sets Django up as it is read

AIMS = {"a feed note": 1, "a fish": 1, "a weigh-in": 8}
# Real presses alone count. It ends as the page has changed, seen in the frame after.
ARM = """(seen) => {
  const read = () => document.querySelector(seen)?.outerHTML;
  const before = read();
  let [taps, from] = [0, 0];
  const tapped = (event) => { if (event.isTrusted && !taps++) from = event.timeStamp; };
  addEventListener("click", tapped, true);
  window.armed = new Promise((done) => {
    const look = () => {
      if (read() === before) return requestAnimationFrame(look);
      removeEventListener("click", tapped, true);
      done([taps, performance.now() - from]);
    };
    look();
  });
}"""
KEPT, LIGHT = "[data-count=kept] b", ".head-light"


def measured(page: Page, seen: str, act: Callable[[], None]) -> tuple[int, float]:
    """Taps, and the milliseconds from the first of them until what `seen` selects has changed."""
    page.evaluate(ARM, seen)
    act()
    taps, took = page.evaluate("window.armed")
    return int(taps), float(took)


def feed(page: Page, _n: int) -> None:
    page.locator(".again").click()


def fish(page: Page, n: int) -> None:
    page.locator(".fish-key").nth(n % 3).click()


def weigh(page: Page, _n: int) -> None:
    """From the next along: four digits, the angler agrees, kept; the list again for the next."""
    page.locator(".next-along .button").first.click()
    for digit in "1250":
        page.get_by_role("button", name=digit, exact=True).click()
    page.locator(".choice input").first.click()
    page.locator(".keep").click()


def begin(page: Page, what: str, match: int) -> None:
    way = {"a feed note": "feed", "a fish": "fish", "a weigh-in": "weigh"}[what]
    page.goto(f"/bank/#/match/{match}/{way}")
    if way == "feed":
        page.locator("feed-maker summary").click()
        page.locator("input[name=amount]").fill("0.25")
        page.locator("feed-maker button").click()
    page.locator(
        {"feed": ".again", "fish": ".fish-key", "weigh": ".next-along"}[way]
    ).first.wait_for()


def main() -> int:
    rounds = int(sys.argv[1]) if len(sys.argv) > 1 else 3
    acts = {"a feed note": feed, "a fish": fish, "a weigh-in": weigh}
    reached = []
    with bank.on_a_phone() as made:
        phone = made()
        phone.sign_in()
        phone.take_along()
        phone.offline()
        phone.slow()
        page = phone.page
        for what, act in acts.items():
            begin(page, what, phone.match)
            runs = [measured(page, KEPT, partial(act, page, n)) for n in range(rounds)]
            taps = max(taps for taps, _ in runs)
            took = statistics.median(ms for _, ms in runs)
            light = statistics.median(
                measured(page, LIGHT, page.locator(LIGHT).click)[1] for _ in range(rounds)
            )
            reached.append(
                bank.said(
                    f"{what}, {bank.SLOWER}x slower",
                    f"{taps} tap{'' if taps == 1 else 's'}, {took / 1000:.2f} s",
                    f"{took / (taps * light):.1f} of as many taps that keep nothing"
                    f" ({taps * light:.0f} ms)",
                    f"{AIMS[what]} tap{'' if AIMS[what] == 1 else 's'}",
                    taps <= AIMS[what],
                )
            )
        phone.context.close()
    return 0 if all(reached) else 1


if __name__ == "__main__":
    sys.exit(main())
