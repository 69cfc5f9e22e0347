"""Taps and time of what is logged most on the bank: a feed note, a fish, a weigh-in.

From the first tap until the head counts what is kept, without signal, on a slowed Chromium: the
median of so many rounds. A thumb's own way between two keys is not in it; the driver's is. Beside
it what as many taps take that keep nothing, on the sun-light button, in the same run.
"""

from __future__ import annotations

from collections.abc import Callable
from functools import partial
from statistics import median

from playwright.sync_api import Page

from tests.bench import bench_bank as bank  # sets Django up as it is read
from tests.bench.parts import part, run
from tests.bench.rows import QUICK, Row, tell

ROUNDS = 2 if QUICK else 5
AIMS = {"a feed note": "thumb-note", "a fish": "thumb-note", "a weigh-in": "thumb-weigh"}
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


def main() -> None:
    acts = {"a feed note": feed, "a fish": fish, "a weigh-in": weigh}
    with bank.on_a_phone() as made:
        phone = made()
        phone.sign_in()
        phone.take_along()
        phone.offline()
        phone.slow()
        page = phone.page
        for what, act in acts.items():
            with part(what):
                begin(page, what, phone.match)
                runs = [measured(page, KEPT, partial(act, page, n)) for n in range(ROUNDS)]
                taps, took = max(taps for taps, _ms in runs), median(ms for _taps, ms in runs)
                light = median(
                    measured(page, LIGHT, page.locator(LIGHT).click)[1] for _ in range(ROUNDS)
                )
                size = f"{bank.SLOWER} times slower"
                tell(Row(f"taps of {what}", size, ours=taps, unit="taps", aims=(AIMS[what],)))
                tell(
                    Row(
                        f"{what}, kept",
                        size,
                        ours=took,
                        reference="as many taps that keep nothing",
                        theirs=taps * light,
                        ratio=took / (taps * light),
                    )
                )
        phone.context.close()


if __name__ == "__main__":
    run(main)
