"""A member's day at the peg on the phone: feed, fish and lines by one tap, the scales by eight."""

from __future__ import annotations

import datetime as dt
import re
import statistics
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from typing import Any

from playwright.sync_api import Locator, Page, expect

from tests.browser.bank_phone import begun, count, go, plan_of_two_lines, rest_here, weigh
from tests.web.test_review_pages import fish, log

# Presses as the page meets them: what a test clicks by script is no tap.
TAPS = """() => {
  if (window.taps === undefined) {
    addEventListener("click", (event) => { if (event.isTrusted) window.taps += 1; }, true);
  }
  window.taps = 0;
}"""


@contextmanager
def taps(page: Page, *, most: int) -> Iterator[None]:
    """What is done inside takes no more real taps than `most`."""
    page.evaluate(TAPS)
    yield
    assert 1 <= page.evaluate("window.taps") <= most


def again(page: Page) -> Locator:
    return page.locator(".again")


def bodies(kind: str) -> list[dict[str, Any]]:
    from matches.models import Fact

    return list(Fact.objects.filter(kind=kind).order_by("cseq").values_list("body", flat=True))


def test_one_tap_repeats_the_last_feed_or_moves_to_the_other_line_and_says_how_it_stands(
    at_match: Callable[..., Page], lasting_world: Any
) -> None:
    begun(lasting_world, minutes=4)
    plan_of_two_lines(lasting_world, "Wilmot")
    page = at_match("wilmot")
    go(page, "Log feed")
    expect(page.locator(".due")).to_have_text("Caster now, due 4 minutes ago, long line")
    expect(again(page)).to_contain_text("To begin with")
    took = []
    for n in range(1, 4):
        start = time.perf_counter()
        with taps(page, most=1):
            again(page).click()
            expect(page.locator(".log li")).to_have_count(n)
        took.append(time.perf_counter() - start)
    print(f"a feed note: {statistics.median(took):.2f} s (median)")
    expect(again(page)).to_contain_text("Again")
    expect(page.locator(".stands")).to_contain_text("Caster 0.75 of 1.5 pints")
    # The bag: 6 x 0.25 pints and 36 pouches of 40 ml; a pint holds 568.26125 ml.
    expect(page.locator(".bag-left")).to_contain_text("Caster 3.28 of 4.03 pints")
    # The clocks are compared to the second: until the next look it may say ten.
    expect(page.locator(".due")).to_have_text("Caster in 9 minutes, long line", timeout=15_000)
    expect(count(page, "sent")).to_have_text("3")
    assert bodies("feed_note")[-1] == {
        "bait": "caster",
        "amount": "0.25",
        "unit": "pint",
        "line": "long",
        "stage": 0,
    }
    what_is_noted_carries_the_other_line(page)


def what_is_noted_carries_the_other_line(page: Page) -> None:
    with taps(page, most=1):
        page.get_by_role("button", name="short line").click()
    expect(page.get_by_role("button", name="short line")).to_have_attribute("aria-pressed", "true")
    expect(again(page)).to_contain_text("1 pouch · short")
    again(page).click()
    expect(page.locator(".log li")).to_have_count(4)
    go(page, "Back")
    page.reload()
    go(page, "Fish")
    expect(page.get_by_role("button", name="short line")).to_have_attribute("aria-pressed", "true")
    page.get_by_role("button", name="roach, middling").click()
    expect(count(page, "sent")).to_have_text("6")
    assert bodies("line_note") == [{"line": "short"}]
    noted = bodies("feed_note")[3:] + bodies("fish_note")
    assert [body["line"] for body in noted] == ["short"] * 2


def test_the_fish_screen_says_which_line_brings_more_and_how_sure_that_is(
    at_match: Callable[..., Page], lasting_world: Any
) -> None:
    """As many fish on each line, in a third of the time on the short one."""
    begun(lasting_world, minutes=80)
    plan_of_two_lines(lasting_world, "Wilmot")
    for minute in (8, 21, 33, 47, 58, 62, 66, 71, 75, 79):
        fish(lasting_world, minute, "long" if minute < 60 else "short")
    log(lasting_world, 60, "line_note", {"line": "short"})
    page = at_match("wilmot")
    go(page, "Fish")
    said = page.get_by_role("region", name="Which line brings more")
    expect(said).to_contain_text(re.compile(r"long line: 5\.1 fish an hour \(2\.2 to 9\.0\)"))
    expect(said).to_contain_text("short line is the better one by weight")


def test_one_tap_notes_a_fish_by_size_and_sizes_and_the_goal_are_the_members_own(
    at_match: Callable[..., Page], lasting_world: Any
) -> None:
    begun(lasting_world, minutes=60)
    page = at_match("wilmot", 320)
    go(page, "Fish")
    names = page.locator(".fish-row > b")
    expect(names.first).to_be_visible()
    heights = names.evaluate_all("(all) => all.map((b) => b.offsetHeight)")
    assert len(heights) >= 5
    assert len(set(heights)) == 1, "One is broken over two lines on the narrowest phone."
    took = []
    for n in range(3):
        key = page.get_by_role("button", name=f"roach, good, about 145 g: {n}")
        start = time.perf_counter()
        with taps(page, most=1):
            key.click()
            expect(
                page.get_by_role("button", name=f"roach, good, about 145 g: {n + 1}")
            ).to_be_visible()
        took.append(time.perf_counter() - start)
    print(f"a fish: {statistics.median(took):.2f} s (median)")
    catch = page.locator(".catch")
    expect(catch).to_contain_text("About 0.435 kg an estimate from 3 fish")
    # 435 g in an hour and the seconds since the world was made
    expect(catch).to_contain_text(re.compile(r"0\.4[23]\d kg an hour now"))
    page.locator(".lately").get_by_role("button", name="Undo").click()
    expect(catch).to_contain_text("an estimate from 2 fish")
    sizes_and_the_weight_to_fish_for_stay_on_the_phone(page)
    page.get_by_role("button", name="other, small: 0").click()
    expect(catch).to_contain_text("1 fish of unknown weight not in it")
    expect(count(page, "sent")).to_have_text("6")
    assert bodies("fish_note")[-1] == {
        "species": "other",
        "count": 1,
        "weight": None,
        "size": "small",
        "about": None,
        "line": "",
    }


def sizes_and_the_weight_to_fish_for_stay_on_the_phone(page: Page) -> None:
    page.get_by_text("The weight I fish for").click()
    page.get_by_label("Weight to fish for (grams)").fill("4290")
    page.get_by_label("dace, middling (g)").fill("sixty")
    page.get_by_role("button", name="Keep these").click()
    expect(page.get_by_text("Write whole grams")).to_be_visible()
    expect(page.get_by_label("dace, middling (g)")).to_have_value("sixty")
    page.get_by_label("dace, middling (g)").fill("60")
    page.get_by_role("button", name="Keep these").click()
    expect(page.get_by_text("Kept on this phone.")).to_be_visible()
    page.reload()
    page.get_by_role("button", name="dace, middling, about 60 g: 0").click()
    catch = page.locator(".catch")
    # Two roach of 145 g and this dace; 3,940 g in the four hours that are left, less the seconds
    # since the world was made.
    expect(catch).to_contain_text(re.compile(r"0\.3[45]\d kg an hour now"))
    expect(catch).to_contain_text(re.compile(r"0\.9[89]\d kg an hour needed for 4\.290 kg"))


def test_the_own_peg_is_warned_of_remembered_and_its_flow_measured_by_one_large_button(
    at_match: Callable[..., Page], lasting_world: Any
) -> None:
    noted_two_weeks_ago(lasting_world)
    own, other = lasting_world.pegs["4"].peg, lasting_world.pegs["5"].peg
    own.power_lines = other.steep_bank = True
    own.save()
    other.save()
    page = at_match("wilmot")
    expect(page.get_by_text("Power lines at your peg.")).to_be_visible()
    expect(page.get_by_text("at your peg")).to_have_count(1)
    own.steep_bank = True
    own.save()
    page.reload()
    expect(page.get_by_text("Steep bank at your peg.")).to_be_visible()
    expect(page.get_by_text("Power lines at your peg.")).to_be_visible()
    go(page, "Lightning, flood, lines: what to do")
    expect(page.get_by_text("rules come first")).to_be_visible()
    expect(page.get_by_text("Go back 30 minutes after the last thunder.")).to_be_visible()
    go(page, "Back")
    rest_here(page)
    page.context.set_offline(True)
    go(page, "My peg")
    expect(page.get_by_text("The venue's list says 180 cm deep.")).to_be_visible()
    expect(page.get_by_text("Sat, 6 June 2026, Maud Ferris")).to_be_visible()
    expect(page.get_by_text("Snags: branch, four metres down")).to_be_visible()
    several_float_runs_give_their_mean_and_spread(page)


def noted_two_weeks_ago(world: Any) -> None:
    from tests.web.pushing import fact, push, words
    from tests.web.test_phone_feeding import match_before

    older = match_before(world, days=14)
    body = {"depth_cm": 195, "snags": "branch, four metres down", "note": ""}
    note = fact(world, 1, kind="peg_note", match=str(older.pk), peg="4", body=body)
    assert words(push(world.captain, note)) == ["accepted"]


def several_float_runs_give_their_mean_and_spread(page: Page) -> None:
    page.clock.install()
    page.clock.pause_at(dt.datetime.now(dt.UTC) + dt.timedelta(hours=1))
    for seconds in (12.5, 20):
        with taps(page, most=2):
            page.get_by_role("button", name="Start the watch").click()
            page.clock.run_for(seconds * 1000)
            page.get_by_role("button", name="Stop").click()
            expect(page.get_by_text(f"1000 cm in {seconds:.1f} s")).to_be_visible()
    # 10 m in 12.5 s and in 20 s: 0.80 and 0.50 m/s.
    flow = page.get_by_role("status").filter(has_text="at the surface")
    expect(flow).to_contain_text(
        "0.65 m/s at the surface, the mean of 2 runs, from 0.50 to 0.80 m/s"
    )
    page.get_by_role("button", name="Start the watch").click()
    page.get_by_role("button", name="Stop").click()
    expect(page.get_by_text("That was no run")).to_be_visible()
    expect(flow).to_contain_text("the mean of 2 runs")


def test_a_member_weighs_only_the_own_peg_under_the_thumb_and_sees_who_leads_a_section(
    at_match: Callable[..., Page], lasting_world: Any
) -> None:
    from tests.fished import weigh as weighed

    weighed(lasting_world, "1", 4200)
    weighed(lasting_world, "2", 900)
    page = at_match("wilmot")
    go(page, "My section")
    expect(page.get_by_text("Nobody leads yet")).to_be_visible()
    expect(page.get_by_text("not weighed")).to_have_count(2)
    page.context.set_offline(True)
    page.get_by_role("button", name="A", exact=True).click()
    expect(page.get_by_text("As far as this phone knows, Maud Ferris leads")).to_be_visible()
    expect(page.get_by_text("Odette")).to_have_count(0)
    expect(page.get_by_text("2 of 2 weighed")).to_be_visible()
    expect(page.get_by_text("As of ")).to_be_visible()
    page.context.set_offline(False)
    go(page, "Back")
    go(page, "Weigh in")
    expect(page.locator(".pegs a")).to_have_count(1)
    link = page.get_by_role("link", name="My peg Peg 4 Wilmot Crane")
    box = link.bounding_box()
    assert box and box["y"] > 0.4 * 740 and box["y"] + box["height"] <= 740
    link.click()
    expect(page.get_by_role("heading", name="Peg 4")).to_be_visible()
    go(page, "Back")
    weigh(page, "4", "1500")
    expect(count(page, "sent")).to_have_text("1")


def keyed(page: Page, digits: str) -> None:
    for digit in digits:
        page.get_by_role("button", name=digit, exact=True).click()


def test_a_weigh_in_agreed_by_the_angler_is_at_most_eight_taps_and_offers_the_next_along(
    at_match: Callable[..., Page], lasting_world: Any
) -> None:
    page = at_match("tamsin")
    took = []
    start = time.perf_counter()
    with taps(page, most=8):
        go(page, "Weigh in")
        page.get_by_role("link", name="Next along Peg 1 Maud Ferris").click()
        keyed(page, "4250")
        page.get_by_label("Maud Ferris agrees").click()
        page.get_by_role("button", name="Keep it").click()
        expect(page.locator(".lately")).to_contain_text("kept")
    took.append(time.perf_counter() - start)
    for peg, name in (("2", "Perrin Stoat"), ("4", "Wilmot Crane")):
        start = time.perf_counter()
        with taps(page, most=7):
            page.get_by_role("link", name=f"Next along Peg {peg} {name}").click()
            keyed(page, "980")
            page.get_by_label(f"{name} agrees").click()
            page.get_by_role("button", name="Keep it").click()
            expect(page.locator(".peg-state.is-good")).to_have_count(int(peg) // 2 + 1)
        took.append(time.perf_counter() - start)
    print(f"a weigh-in: {statistics.median(took):.2f} s (median)")
    with taps(page, most=6):
        page.get_by_role("link", name="Another net Peg 4").click()
        page.get_by_role("button", name="Another net").click()
        keyed(page, "500")
        page.get_by_role("button", name="Keep it").click()
    expect(page.get_by_text("1.480 kg")).to_be_visible()
    expect(count(page, "sent")).to_have_text("4")
    said = [(body["net"], body["weight"], body["witness"]) for body in bodies("weigh_in")]
    assert said == [
        (1, 4250, "Maud Ferris"),
        (1, 980, "Perrin Stoat"),
        (1, 980, "Wilmot Crane"),
        (2, 500, None),
    ]
