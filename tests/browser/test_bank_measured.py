"""Measured at the water with thumb and stop-watch, without signal, and used by the whole team."""

from __future__ import annotations

import re
from collections.abc import Callable
from typing import Any

from playwright.sync_api import Locator, Page, expect

from tests.browser.bank_phone import go, plan_for, rest_here, signal
from tests.web.pushing import push
from tests.web.test_feed_tests_shared import drop
from tests.web.test_phone_feeding import match_before

#: Seconds a thumb needs for a tap and for a digit, and a member has in all (from memory).
TAP_S, DIGIT_S, GOAL_S = 2.0, 1.0, 120.0
CLOCK = "let t = 0; performance.now = () => t; window.pass = (ms) => { t += ms; }"


class Thumb:
    """Counts what a member does: taps, digits, and the seconds a stop-watch runs."""

    def __init__(self, page: Page) -> None:
        self.page, self.taps, self.digits, self.waited = page, 0, 0, 0.0

    def tap(self, what: Locator) -> None:
        what.click()
        self.taps += 1

    def press(self, name: str) -> None:
        self.tap(self.page.get_by_role("button", name=re.compile(f"^{name}")))

    def number(self, field: str, text: str) -> None:
        assert text.replace(".", "").isdigit(), "only numbers are ever typed"
        at = self.page.locator(f"[name={field}]")
        self.tap(at)
        at.fill(text)
        self.digits += len(text)

    def time(self, start: str, stop: str, seconds: float) -> None:
        self.press(start)
        self.page.evaluate("(ms) => pass(ms)", seconds * 1000)
        self.press(stop)
        self.waited += seconds

    @property
    def seconds(self) -> float:
        return self.taps * TAP_S + self.digits * DIGIT_S + self.waited


def landed(page: Page, feed: str) -> Locator:
    return page.locator(".landed li").filter(has_text=feed)


def kept(page: Page, what: str) -> None:
    expect(page.locator(".lately")).to_contain_text(what)


def test_from_the_peg_to_the_throws_is_under_two_minutes_without_signal_or_text(
    at_match: Callable[..., Page], lasting_world: Any
) -> None:
    from matches.models import Fact

    plan_for(lasting_world, "Wilmot")
    page = at_match("wilmot")
    rest_here(page)
    page.context.set_offline(True)
    page.evaluate(CLOCK)
    thumb = Thumb(page)
    thumb.tap(page.get_by_role("link", name="My peg", exact=True))
    thumb.time("Start the watch", "Stop", 14.2)
    kept(page, "Float run 0.70 m/s")
    thumb.time("The rig is in: start", "It settled: stop", 4.3)
    expect(page.locator(".rig output")).to_have_text("3.0 m")
    thumb.press("Keep it")
    kept(page, "Rig settles 3.0 m downstream")
    thumb.number("depth", "240")
    thumb.number("celsius", "9.4")
    thumb.press("Keep the notes")
    expect(page.get_by_text("Water 9.4 °C")).to_be_visible()
    thumb.tap(page.get_by_role("link", name="Where it lands"))
    expect(landed(page, "Caster")).to_contain_text("upstream")
    expect(page.locator(".slide output").nth(4)).to_have_text("9 °C")
    assert (thumb.taps, thumb.digits, thumb.waited) == (10, 6, 18.5)
    assert thumb.seconds < GOAL_S

    expect(landed(page, "Caster")).to_contain_text("from memory")
    for _ in range(3):
        thumb.time("Dropped: start", "On the bottom: stop", 6.0)
    expect(page.locator("jar-test")).to_contain_text("the mean of 3 drops")
    expect(landed(page, "Caster")).to_contain_text("Timed in a jar: Wilmot Crane, ")
    thumb.tap(page.get_by_role("button", name="Keep this throw: Caster"))
    kept(page, "Caster")
    assert thumb.taps == 17
    assert thumb.seconds < GOAL_S
    said = landed(page, "Caster").locator("throw-keep")
    expect(said).to_contain_text("Kept: ")
    place = said.inner_text().split("Kept: ")[1].split(" m ")[0]
    go(page, "Back")
    go(page, "Back")
    go(page, "My plan")
    expect(page.locator("[data-throw=caster]")).to_contain_text(f"{place} m upstream")
    go(page, "Back")
    go(page, "Log feed")
    expect(page.locator(".throws .throw").first).to_contain_text(f"{place} m up")
    page.context.set_offline(False)
    expect(signal(page)).to_have_attribute("data-signal", "ok")
    expect(page.locator("[data-count=kept] b")).to_have_text("0")
    kinds = list(Fact.objects.order_by("seq").values_list("kind", flat=True))
    assert kinds == ["peg_note"] * 3 + ["feed_test"] * 3 + ["feed_throw"]


def test_a_mates_jar_test_counts_here_until_it_is_left_aside_and_nonsense_from_ones_own_does_not(
    at_match: Callable[..., Page], lasting_world: Any
) -> None:
    world = lasting_world
    plan_for(world, "Wilmot")
    before = match_before(world, days=14)
    push(world.captain, *[drop(world, n, before, ms=3000) for n in (1, 2, 3)])
    page = at_match("wilmot")
    go(page, "My peg")
    go(page, "Where it lands")
    expect(landed(page, "Caster")).to_contain_text(
        re.compile("Timed in a jar: Maud Ferris, .*6 June 2026, 3 drops.")
    )
    expect(page.locator("jar-test")).to_contain_text("10.0 cm/s")
    page.get_by_role("button", name="Leave aside").click()
    expect(landed(page, "Caster")).to_contain_text("from memory")
    page.reload()
    expect(landed(page, "Caster")).to_contain_text("from memory")
    page.get_by_role("button", name="Use it again").click()
    expect(landed(page, "Caster")).to_contain_text("Timed in a jar: Maud Ferris")
    page.get_by_role("button", name="Leave aside").click()
    nonsense_from_the_jar_is_told_in_words_and_nothing_of_it_is_kept(page)


def nonsense_from_the_jar_is_told_in_words_and_nothing_of_it_is_kept(page: Page) -> None:
    from matches.models import Fact

    page.evaluate(CLOCK)
    thumb, jar = Thumb(page), page.locator("jar-test")
    for deep, seconds, words in [
        ("30", 0.0, "That was too quick"),
        ("30", 900.0, "Ten minutes in a jar is no fall"),
        ("0", 6.0, "5 to 200 whole centimetres"),
        ("999", 6.0, "5 to 200 whole centimetres"),
        ("200", 0.2, "No feed sinks at that speed"),
    ]:
        page.locator("[name=jar]").fill(deep)
        thumb.time("Dropped: start", "On the bottom: stop", seconds)
        expect(jar.get_by_role("alert")).to_contain_text(words)
    page.locator("[name=jar]").fill("-30")
    thumb.time("Dropped: start", "On the bottom: stop", 6.0)
    expect(jar.get_by_role("alert")).to_contain_text("5 to 200 whole centimetres")
    expect(jar.locator(".log li")).to_have_count(0)
    page.locator("[name=jar]").fill("30")
    thumb.time("Dropped: start", "On the bottom: stop", 6.0)
    expect(jar).to_contain_text("2 more drops would say how far single ones stray")
    thumb.time("Dropped: start", "On the bottom: stop", 14.0)
    expect(jar).to_contain_text("These drops are far apart")
    for _ in range(3):
        thumb.press("It floats")
    expect(page.get_by_text("Floats, so it never lands: Caster.")).to_be_visible()
    expect(landed(page, "Caster")).to_have_count(0)
    # Three times left aside or used again, two drops and three that floated; and the mate's three.
    expect(page.locator("[data-count=sent] b")).to_have_text("8")
    assert Fact.objects.count() == 8 + 3
