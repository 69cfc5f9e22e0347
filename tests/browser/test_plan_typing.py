"""Nothing typed into a plan is lost to an answer that is under way, whenever it comes."""

from __future__ import annotations

import time
from typing import Any

from playwright.sync_api import Page, Route, expect

from bait.models import Plan
from tests.browser.conftest import WAIT_MS
from tests.browser.test_captain import full_shelves
from tests.browser.test_plan import full_plan, unfold

BACK = "What you typed here is back"


def come(page: Page, routes: list[Route], count: int) -> None:
    """Let the page go on, picture by picture, until that many requests have come."""
    end = time.monotonic() + WAIT_MS / 1000
    while len(routes) < count:
        assert time.monotonic() < end, f"Only {len(routes)} of {count} requests came."
        page.evaluate("new Promise(requestAnimationFrame)")


class Held:
    """The answers of a plan's page, each let through when the test says so."""

    def __init__(self, page: Page, address: str) -> None:
        self.page, self.waiting, self.free = page, list[Route](), False
        page.route(f"**{address}*", self._come)

    def _come(self, route: Route) -> None:
        if self.free or route.request.method != "POST" or self.of_sum(route):
            route.continue_()
        else:
            self.waiting.append(route)

    @staticmethod
    def of_sum(route: Route) -> bool:
        return (route.request.post_data or "").endswith("do=sum")

    def until(self, count: int) -> None:
        """Go on when that many wait."""
        come(self.page, self.waiting, count)

    def answer(self) -> None:
        """Let the first that waits be answered, and go on once it is in the page."""
        with self.page.expect_response(lambda answer: answer.request.method == "POST"):
            self.waiting.pop(0).continue_()
        self.page.evaluate("new Promise((done) => requestAnimationFrame(() => setTimeout(done)))")


def opened(world: Any, signed_in: Any, *, full: bool = True, **options: Any) -> tuple[Page, Held]:
    full_shelves(world)
    if full:
        full_plan(world)
    page: Page = signed_in("wilmot", 360, **options)
    address = f"/desk/plans/{world.match.pk}/"
    page.goto(address)
    return page, Held(page, address)


def test_who_has_gone_on_to_another_field_is_left_there_when_a_row_comes(
    lasting_world: Any, signed_in: Any
) -> None:
    page, held = opened(lasting_world, signed_in, full=False)
    page.get_by_role("button", name="Add a bait").nth(1).click()
    held.until(1)
    page.locator("[name=stage-1-feed-0-bait]").select_option("caster")
    amount = page.locator("[name=stage-1-feed-0-amount]")
    amount.focus()
    held.answer()
    expect(page.locator("[name=stage-1-feed-1-bait]")).to_have_count(1)
    expect(amount).to_be_focused()
    page.keyboard.type("0,04")
    expect(amount).to_have_value("0,04")
    expect(page.locator("[name=stage-1-feed-0-bait]")).to_have_value("caster")


def test_a_field_stays_the_very_same_when_a_row_comes_so_that_half_a_word_goes_on(
    lasting_world: Any, signed_in: Any
) -> None:
    page, held = opened(lasting_world, signed_in)
    page.get_by_role("button", name="Add a substitute").click()
    held.until(1)
    note = page.locator("[name=note]")
    note.fill("Rest it")
    note.evaluate("field => { window.field = field; field.setSelectionRange(4, 4); }")
    held.answer()
    expect(page.locator("[name=substitute-1-bait]")).to_have_count(1)
    page.keyboard.type(" all")
    expect(note).to_have_value("Rest all it")
    assert page.evaluate("window.field === document.getElementById('note')")


def test_what_is_typed_while_a_row_is_taken_out_stays_with_its_row(
    lasting_world: Any, signed_in: Any
) -> None:
    page, held = opened(lasting_world, signed_in)
    unfold(page, "stage-1", "stage-2", "stage-3")
    page.get_by_role("button", name="Take out stage 2").click()
    held.until(1)
    page.locator("[name=stage-2-note]").fill("of the third")
    page.locator("[name=stage-3-feed-0-bait]").select_option("hemp")
    page.locator("[name=stage-3-every_seconds]").fill("200")
    held.answer()
    expect(page.locator("[name=stage-4-kind]")).to_have_count(0)
    expect(page.locator("[name=stage-1-kind]")).to_have_value("top_up")
    expect(page.locator("[name=stage-1-note]")).to_have_value("of the third")
    expect(page.locator("[name=stage-2-feed-0-bait]")).to_have_value("hemp")
    expect(page.locator("[name=stage-2-every_seconds]")).to_have_value("200")
    expect(page.locator("#stage-1 > summary")).to_contain_text("Stage 2")
    page.get_by_role("button", name="Take out stage 3").click()
    held.until(1)
    held.answer()
    expect(page.locator("[name=stage-2-kind]")).to_have_value("hook")


def test_a_press_that_waits_reaches_the_row_it_was_made_in_though_rows_moved(
    lasting_world: Any, signed_in: Any
) -> None:
    page, held = opened(lasting_world, signed_in)
    unfold(page, "stage-1", "stage-3")
    page.get_by_role("button", name="Take out stage 2").click()
    held.until(1)
    page.locator("#stage-3").get_by_role("button", name="Add a bait").click()
    page.locator("[name=stage-3-note]").fill("switched")
    held.answer()
    held.until(1)
    page.locator("[name=stage-2-feed-0-amount]").fill("3")
    held.answer()
    expect(page.locator("[name=stage-2-feed-1-bait]")).to_have_count(1)
    expect(page.locator("[name=stage-2-note]")).to_have_value("switched")
    expect(page.locator("[name=stage-2-feed-0-amount]")).to_have_value("3")
    expect(page.locator("[name=stage-1-feed-0-bait]")).to_have_count(0)


def test_balls_chosen_while_a_mix_is_taken_out_keep_to_their_mix(
    lasting_world: Any, signed_in: Any
) -> None:
    page, held = opened(lasting_world, signed_in)
    held.free = True
    page.get_by_role("button", name="Add a mix").click()
    page.locator("[name=mix-1-name]").fill("cloud")
    page.get_by_role("button", name="Add it up").click()
    unfold(page, "mix-0", "stage-0")
    expect(page.locator("[name=stage-0-balls_mix] option")).to_have_text(
        ["No balls", "base", "cloud"]
    )
    held.free = False
    page.get_by_role("button", name="Take out mix 1").click()
    held.until(1)
    page.locator("[name=stage-0-balls_mix]").select_option("1")
    held.answer()
    expect(page.locator("[name=stage-0-balls_mix] option")).to_have_text(["No balls", "cloud"])
    expect(page.locator("[name=stage-0-balls_mix]")).to_have_value("0")
    expect(page.locator("[name=mix-0-name]")).to_have_value("cloud")


def test_adding_up_waits_for_a_row_takes_nothing_typed_meanwhile_and_marks_what_is_wrong(
    lasting_world: Any, signed_in: Any
) -> None:
    page, held = opened(lasting_world, signed_in, full=False)
    page.get_by_role("button", name="Add a bait").nth(1).click()
    held.until(1)
    page.get_by_role("button", name="Add it up").click()
    page.locator("[name=stage-1-feed-0-bait]").select_option("caster")
    page.locator("[name=stage-1-feed-0-amount]").fill("3")
    held.answer()
    held.until(1)
    page.locator("[name=stage-1-feed-1-bait]").select_option("hemp")
    page.locator("[name=stage-1-feed-1-amount]").fill("0.5")
    page.locator("[name=stage-1-feed-1-unit]").select_option("L")
    held.answer()
    expect(page.locator("[name=stage-1-feed-1-bait]")).to_have_value("hemp")
    expect(page.locator("[name=stage-1-feed-1-amount]")).to_have_value("0.5")
    expect(page.locator("[name=stage-1-feed-1-unit]")).to_have_value("L")
    expect(page.locator("[name=stage-1-feed-0-amount]")).to_have_value("3")
    page.locator("[name=stage-1-feed-0-amount]").fill("much")
    page.get_by_role("button", name="Add it up").click()
    held.until(1)
    page.locator("[name=stage-0-feed-0-amount]").fill("2")
    held.answer()
    expect(page.locator("[name=stage-1-feed-0-amount]")).to_have_attribute("aria-invalid", "true")
    expect(page.locator("[name=stage-0-feed-0-amount]")).to_have_value("2")
    expect(page.locator("[name=stage-1-feed-1-amount]")).to_have_value("0.5")


def test_balls_typed_while_the_server_would_hide_them_stay(
    lasting_world: Any, signed_in: Any
) -> None:
    page, held = opened(lasting_world, signed_in)
    unfold(page, "stage-1")
    page.locator("[name=stage-1-kind]").select_option("hook")
    page.get_by_role("button", name="Add a substitute").click()
    held.until(1)
    page.locator("[name=stage-1-kind]").select_option("feed")
    page.locator("#stage-1-balls-fold > summary").click()
    page.locator("[name=stage-1-balls_count]").fill("7")
    held.answer()
    expect(page.locator("[name=substitute-1-bait]")).to_have_count(1)
    expect(page.locator("[name=stage-1-balls_count]")).to_have_value("7")


def test_enter_in_a_field_saves_what_stands_there_after_the_row_that_was_on_its_way(
    lasting_world: Any, signed_in: Any
) -> None:
    page, held = opened(lasting_world, signed_in)
    page.get_by_role("button", name="Add a substitute").click()
    held.until(1)
    spare = page.locator("[name=spare_percent]")
    spare.fill("12")
    spare.press("Enter")
    page.locator("[name=note]").fill("After Enter")
    held.free = True
    held.answer()
    expect(page.get_by_text("Plan saved, version 2.")).to_be_visible()
    plan = Plan.objects.get()
    assert (plan.spare_percent, plan.note) == (12, "After Enter")


def test_while_a_save_is_under_way_nothing_can_be_typed_that_it_would_miss(
    lasting_world: Any, signed_in: Any
) -> None:
    page, held = opened(lasting_world, signed_in)
    note = page.locator("[name=note]")
    note.fill("Saved")
    page.get_by_role("button", name="Save the plan").click()
    held.until(1)
    note.evaluate("field => field.focus()")
    page.keyboard.type("never seen")
    expect(note).to_have_value("Saved")
    held.waiting.pop(0).abort()
    expect(page.get_by_text("No answer from the server.")).to_be_visible()
    note.fill("Typed after that")
    page.get_by_role("button", name="Save the plan").click()
    held.until(1)
    held.waiting.pop(0).continue_()
    expect(page.get_by_text("Plan saved, version 2.")).to_be_visible()
    assert Plan.objects.get().note == "Typed after that"


def test_a_refused_save_goes_to_the_field_that_is_wrong_and_keeps_every_row(
    lasting_world: Any, signed_in: Any
) -> None:
    page, held = opened(lasting_world, signed_in)
    held.free = True
    unfold(page, "stage-3")
    page.locator("[name=stage-3-feed-0-amount]").fill("none")
    page.locator("[name=note]").fill("Kept")
    page.get_by_role("button", name="Save the plan").click()
    expect(page.locator("[name=stage-3-feed-0-amount]")).to_be_focused()
    expect(page.locator("[name=stage-3-feed-0-amount]")).to_have_value("none")
    expect(page.locator("[name=note]")).to_have_value("Kept")
    expect(page.get_by_text("Nothing is saved yet")).to_be_visible()
    page.reload()
    expect(page.locator("[name=note]")).to_have_value("Kept")


def test_what_was_kept_comes_back_without_asking_but_never_over_what_is_typed_since(
    lasting_world: Any, signed_in: Any
) -> None:
    page, held = opened(lasting_world, signed_in)
    page.locator("[name=note]").fill("Kept")
    page.reload()
    expect(page.get_by_text(BACK)).to_be_visible()
    note = page.locator("[name=note]")
    expect(note).to_have_value("Kept")
    note.fill("Typed at once")
    assert held.waiting == []
    page.reload()
    expect(note).to_have_value("Typed at once")
    page.locator("[name=spare_percent]").fill("15")
    scripts: list[Route] = []
    page.route("**/plan*.js", lambda route: scripts.append(route), times=1)
    page.goto(page.url, wait_until="commit")
    page.locator("[name=note]").fill("Typed before the script")
    come(page, scripts, 1)
    scripts[0].continue_()
    expect(page.get_by_text(BACK)).to_be_visible()
    expect(page.locator("[name=note]")).to_have_value("Typed before the script")
    expect(page.locator("[name=spare_percent]")).to_have_value("15")


def test_rows_that_come_back_slowly_cannot_overwrite_what_is_typed_and_outlast_no_answer(
    lasting_world: Any, signed_in: Any
) -> None:
    page, held = opened(lasting_world, signed_in, may_fail=True)
    held.free = True
    page.get_by_role("button", name="Add a substitute").click()
    page.locator("[name=substitute-1-bait]").select_option("hemp")
    page.locator("[name=note]").fill("Kept")
    held.free = False
    page.reload()
    held.until(1)
    note = page.locator("[name=note]")
    note.evaluate("field => field.focus()")
    page.keyboard.type("would be lost")
    expect(note).to_have_value("Rest the long line after an hour.")
    held.waiting.pop(0).abort()
    page.get_by_role("button", name="Try again").click()
    held.until(1)
    held.answer()
    expect(page.locator("[name=substitute-1-bait]")).to_have_value("hemp")
    expect(note).to_have_value("Kept")
    note.fill("Kept, and more")
    expect(note).to_have_value("Kept, and more")


def test_the_sum_follows_what_is_typed_and_the_newest_answer_stands(
    lasting_world: Any, signed_in: Any
) -> None:
    page, _held = opened(lasting_world, signed_in)
    sums: list[Route] = []
    page.route("**/desk/plans/*/", lambda route: sums.append(route))
    unfold(page, "stage-4")
    amount = page.locator("[name=stage-4-feed-0-amount]")
    amount.fill("2")
    come(page, sums, 1)
    amount.fill("9")
    come(page, sums, 2)
    sums[1].continue_()
    # 9 pints and 30 pouches of 40 ml are 11.1118 pints, with a tenth to spare 12.23.
    expect(page.locator("#comes-to ~ .bag")).to_contain_text("12.23 pints")
    expect(page.locator("#stage-4-said")).to_contain_text("Hook baits long, 0 to 300 min")
    expect(amount).to_be_focused()
    expect(page.locator("#sum-line")).to_have_attribute("aria-live", "polite")
    amount.fill("1")
    come(page, sums, 3)
    sums[2].abort()
    expect(page.get_by_text("this is from before your last change")).to_be_visible()
    expect(page.get_by_text("No answer from the server. What you typed")).to_be_hidden()
    expect(page.locator("#comes-to ~ .bag")).to_contain_text("12.23 pints")


def test_on_to_the_next_stage_those_filled_in_fold_but_not_the_one_somebody_is_in(
    lasting_world: Any, signed_in: Any
) -> None:
    page, held = opened(lasting_world, signed_in)
    unfold(page, "mix-0", "stage-0", "stage-1")
    page.get_by_role("button", name="Add a stage").click()
    held.until(1)
    held.answer()
    expect(page.locator("[name=stage-5-kind]")).to_be_focused()
    expect(page.locator("details.stage[open]")).to_have_count(1)
    unfold(page, "stage-1")
    page.get_by_role("button", name="Add hook baits").click()
    held.until(1)
    page.locator("[name=stage-1-every_seconds]").fill("250")
    held.answer()
    expect(page.locator("[name=stage-6-kind]")).to_have_value("hook")
    expect(page.locator("[name=stage-1-every_seconds]")).to_be_focused()
