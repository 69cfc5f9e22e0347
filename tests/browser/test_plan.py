"""A whole plan on a phone: a mix, balls, pouches measured with a cup, and when it all goes in."""

from __future__ import annotations

from typing import Any

from playwright.sync_api import Page, expect

from bait.models import Mix, Plan, PlanTemplate, StageKind, ThrowSize
from bait.writes.plan_content import plan_content_parse
from bait.writes.plans import plan_save
from tests.browser.conftest import FaultsSeen
from tests.browser.test_captain import full_shelves


def full_plan(world: Any, *, first: str = "Wilmot") -> None:
    def stage(kind: str, start: int, end: int, *feeds: tuple[str, str, str], **more: Any) -> Any:
        found = [{"bait": bait, "amount": amount, "unit": unit} for bait, amount, unit in feeds]
        return {
            "kind": kind,
            "line": "long",
            "start_minute": start,
            "end_minute": end,
            "feeds": found,
            **more,
        }

    raw = {
        "version": 0,
        "spare_percent": 10,
        "note": "Rest the long line after an hour.",
        "mixes": [
            {
                "name": "base",
                "parts": [
                    {"bait": "river-mix", "amount": "3", "unit": "kg"},
                    {"bait": "leam", "amount": "4", "unit": "L", "after_rest": True},
                ],
            }
        ],
        "stages": [
            stage(
                "opening",
                -10,
                0,
                ("hemp", "1", "pint"),
                balls={"count": 10, "mm": 80, "mix": "base"},
            ),
            stage(
                "feed", 0, 180, ("caster", "1", "pouch"), ("hemp", "1", "pinch"), every_seconds=300
            ),
            stage("top_up", 120, 125, balls={"count": 3, "mm": 80, "mix": "base"}),
            stage("switch", 180, 300, ("maggot", "1", "pouch"), every_seconds=240, line="short"),
            stage("hook", 0, 300, ("maggot", "0.25", "pint")),
        ],
        "substitutes": [{"bait": "maggot", "instead": "caster"}],
    }
    plan_save(world.secretary, entry=world.entries[first], content=plan_content_parse(raw))


def unfold(page: Page, *rows: str) -> None:
    """Open the stages and mixes that are folded to a line."""
    for row in rows:
        if page.locator(f"#{row}").get_attribute("open") is None:
            page.locator(f"#{row} > summary").click()


def test_a_member_without_scripts_mixes_loads_balls_and_throws_pouches(
    lasting_world: Any, signed_in: Any
) -> None:
    full_shelves(lasting_world)
    page = signed_in("wilmot", 360, java_script_enabled=False)
    page.goto(f"/desk/plans/{lasting_world.match.pk}/throws/")
    page.get_by_label("Pouch").check()
    page.get_by_label("Throws that filled it").fill("5")
    page.get_by_role("button", name="Keep this size").click()
    expect(page.get_by_text("Kept: a pouch is 50 ml now.")).to_be_visible()
    assert ThrowSize.objects.get().ml == 50
    page.get_by_role("link", name="Back to the plan").click()
    page.get_by_role("button", name="Add a mix").click()
    page.locator("[name=mix-0-part-0-bait]").select_option("river-mix")
    page.locator("[name=mix-0-part-0-amount]").fill("3")
    page.locator("[name=mix-0-part-0-unit]").select_option("kg")
    page.locator("[name=mix-0-part-1-bait]").select_option("leam")
    page.locator("[name=mix-0-part-1-amount]").fill("4")
    page.locator("#stage-0-balls-fold > summary").click()
    page.locator("[name=stage-0-balls_count]").fill("10")
    page.locator("[name=stage-0-balls_mix]").select_option("0")
    page.locator("[name=stage-1-feed-0-bait]").select_option("caster")
    page.locator("[name=stage-1-feed-0-amount]").fill("1")
    page.locator("[name=stage-1-feed-0-unit]").select_option("pouch")
    page.locator("[name=stage-1-every_seconds]").fill("300")
    page.get_by_role("button", name="Add it up").click()
    # 60 pouches of 50 ml are 3 L: 5.2792... pints, with a tenth to spare 5.81.
    expect(page.locator("#comes-to ~ .bag")).to_contain_text("5.81 pints")
    expect(page.get_by_role("heading", name="When it goes in")).to_be_visible()
    page.get_by_role("button", name="Save the plan").click()
    expect(page.get_by_text("Plan saved, version 1.")).to_be_visible()
    stage = Plan.objects.get().stages.get(kind=StageKind.OPENING)
    assert (stage.balls, stage.ball_mm, stage.mix) == (10, 80, Mix.objects.get())


def test_a_row_is_added_in_place_and_nothing_typed_or_opened_is_lost(
    lasting_world: Any, signed_in: Any
) -> None:
    full_shelves(lasting_world)
    full_plan(lasting_world)
    page = signed_in("wilmot", 360)
    page.goto(f"/desk/plans/{lasting_world.match.pk}/")
    page.evaluate("window.stayed = true")
    unfold(page, "mix-0", "stage-1")
    page.locator("#mix-0-measured > summary").click()
    page.locator("[name=mix-0-squeeze]").fill("0.65")
    page.locator("#stage-1").get_by_role("button", name="Add a bait").click()
    expect(page.locator("[name=stage-1-feed-2-bait]")).to_be_focused()
    expect(page.locator("[name=mix-0-squeeze]")).to_be_visible()
    expect(page.locator("[name=mix-0-squeeze]")).to_have_value("0.65")
    page.get_by_role("button", name="Take out bait 3 of stage 2").click()
    expect(page.locator("[name=stage-1-feed-2-bait]")).to_have_count(0)
    assert page.evaluate("window.stayed") is True
    page.get_by_role("button", name="Save the plan").click()
    expect(page.get_by_text("Plan saved, version 2.")).to_be_visible()
    assert page.evaluate("window.stayed") is None  # saved by the page itself
    assert str(Mix.objects.get().squeeze) == "0.65"


def test_what_is_typed_while_a_row_comes_stays_and_no_press_is_lost(
    lasting_world: Any, signed_in: Any
) -> None:
    full_shelves(lasting_world)
    page = signed_in("wilmot", 360)
    address = f"/desk/plans/{lasting_world.match.pk}/"
    page.goto(address)
    waiting: list[Any] = []
    page.route(
        f"**{address}", lambda route: route.continue_() if waiting else waiting.append(route)
    )
    page.get_by_role("button", name="Add a bait").first.click()
    page.get_by_role("button", name="Add a mix").click()
    page.locator("[name=note]").fill("Typed meanwhile")
    page.locator("[name=stage-0-feed-0-bait]").select_option("hemp")
    waiting[0].continue_()
    expect(page.locator("[name=mix-0-name]")).to_have_value("base")
    expect(page.locator("[name=stage-0-feed-1-bait]")).to_have_count(1)
    expect(page.locator("[name=note]")).to_have_value("Typed meanwhile")
    expect(page.locator("[name=stage-0-feed-0-bait]")).to_have_value("hemp")


def test_without_signal_the_page_says_so_and_keeps_what_was_typed(
    lasting_world: Any, signed_in: Any
) -> None:
    full_shelves(lasting_world)
    page = signed_in("wilmot", 360, may_fail=True)
    page.goto(f"/desk/plans/{lasting_world.match.pk}/")
    page.locator("[name=note]").fill("Kept")
    page.context.set_offline(True)
    page.get_by_role("button", name="Add it up").click()
    expect(page.get_by_text("No answer from the server.")).to_be_visible()
    expect(page.locator("[name=note]")).to_have_value("Kept")
    page.context.set_offline(False)
    page.get_by_role("button", name="Add a mix").click()
    expect(page.locator("[name=mix-0-name]")).to_have_value("base")
    expect(page.get_by_text("No answer from the server.")).to_be_hidden()
    expect(page.locator("[name=note]")).to_have_value("Kept")


def test_a_captain_keeps_a_template_and_a_member_starts_from_it(
    lasting_world: Any, signed_in: Any
) -> None:
    full_shelves(lasting_world)
    full_plan(lasting_world, first="Maud")
    page = signed_in("maud", 360)
    page.goto(f"/desk/plans/{lasting_world.match.pk}/")
    page.get_by_role("link", name="Start from another plan").click()
    page.locator("#start > summary").click()
    page.get_by_label("Keep this plan as a template").fill("Summer river")
    page.get_by_role("button", name="Keep as a template").click()
    expect(page.get_by_text("“Summer river” is kept")).to_be_visible()
    assert PlanTemplate.objects.get().name == "Summer river"
    member = signed_in("wilmot", 360)
    member.goto(f"/desk/plans/{lasting_world.match.pk}/")
    member.get_by_label("Or choose").select_option(label="Summer river")
    member.get_by_role("button", name="Start from this one").click()
    expect(member.locator("[name=mix-0-name]")).to_have_value("base")
    member.get_by_role("button", name="Save the plan").click()
    expect(member.get_by_text("Plan saved, version 1.")).to_be_visible()


def test_a_full_plan_and_the_throws_fit_and_can_be_read_by_an_aid(
    lasting_world: Any, signed_in: Any, faults_seen: FaultsSeen
) -> None:
    world = lasting_world
    full_shelves(world)
    full_plan(world)
    ThrowSize.objects.create(angler=world.entries["Wilmot"].angler, throw="pouch", ml=50)
    ThrowSize.objects.create(
        angler=world.entries["Wilmot"].angler, throw="pinch", ml=8, bait=world.baits["hemp"]
    )
    page = signed_in("wilmot", 360)
    seen = {}
    for name, address in [
        ("plan-full", f"/desk/plans/{world.match.pk}/?start=1"),
        ("throws", f"/desk/plans/{world.match.pk}/throws/"),
    ]:
        page.goto(address)
        if name == "plan-full":  # the other has nothing that folds
            seen[f"{name}-folded"] = faults_seen(page, f"{name}-folded")
        page.evaluate("document.querySelectorAll('details').forEach(fold => { fold.open = true; })")
        seen[name] = faults_seen(page, name)
    assert seen == {name: [] for name in seen}
