"""At the scales in a real browser: fish on a phone without signal, a board that is typed into."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from playwright.sync_api import Page, expect

from matches.models import Fact, NetCapRule, ScoredBy, WeighIn
from tests.browser.conftest import sideways
from tests.fished import weigh

PageAt = Callable[..., Page]
Axe = Callable[[Page], list[str]]


def test_fish_are_counted_by_thumb_without_signal_and_arrive_with_the_weight(
    lasting_world: Any, at_match: PageAt, axe_violations: Axe
) -> None:
    match = lasting_world.match
    match.scored_by = ScoredBy.FISH
    match.species = [{"name": "Roach", "points": 1}, {"name": "Perch", "points": 3}]
    match.net_cap, match.net_cap_rule = 4000, NetCapRule.CAP
    match.save()
    page = at_match("tamsin")
    page.context.set_offline(True)
    page.get_by_role("link", name="Weigh in", exact=True).click()
    page.locator(".pegs a[href$='/weigh/1']").click()
    for digit in "4250":
        page.get_by_role("button", name=digit, exact=True).click()
    expect(page.get_by_text("A net over 4.000 kg counts 4.000 kg.")).to_be_visible()
    page.get_by_role("button", name="Count the fish").click()
    more = page.get_by_role("button", name="One Roach more")
    box = more.bounding_box()
    assert box is not None
    assert min(box["width"], box["height"]) >= 44
    for _ in range(3):
        more.click()
    page.get_by_role("button", name="One Roach less").click()
    page.get_by_role("button", name="One Perch more").click()
    expect(page.get_by_text("3 fish, 5 points")).to_be_visible()
    assert sideways(page) == 0
    assert axe_violations(page) == []
    page.get_by_role("button", name="Keep it", exact=True).click()
    expect(page.locator(".pegs a[href$='/weigh/1']")).to_contain_text("counts 4.000 kg")
    expect(page.locator(".pegs a[href$='/weigh/1']")).to_contain_text("3 fish, 5 points")
    page.context.set_offline(False)
    expect(page.locator("[data-count=sent] b")).to_have_text("1", timeout=30_000)
    assert Fact.objects.get().body["fish"] == [["Roach", 2], ["Perch", 1]]
    assert WeighIn.objects.get().fish == [["Perch", 1], ["Roach", 2]]


def test_what_comes_in_leaves_focus_typing_and_other_rows_as_they_were(
    lasting_world: Any, signed_in: PageAt, axe_violations: Axe
) -> None:
    weigh(lasting_world, "1", 4000)
    weigh(lasting_world, "1", 4250, by=lasting_world.secretary)
    page = signed_in("idris", desk=False)
    page.goto(f"/desk/matches/{lasting_world.match.pk}/weigh/")
    expect(page.locator("#live")).to_have_text("The board fills by itself.")
    page.get_by_label("Somebody else").fill("the bail")
    page.evaluate("document.querySelector('#peg-1').dataset.mine = 'kept'")
    page.get_by_role("button", name="4.250 kg stands").focus()
    held = page.evaluate("document.activeElement.id")
    weigh(lasting_world, "5", 2000)
    expect(page.locator("#peg-5")).to_contain_text("2.000 kg")
    expect(page.get_by_role("heading", name="Moved since")).to_be_visible()
    assert page.evaluate("document.activeElement.id") == held
    assert page.evaluate("document.querySelector('#peg-1').dataset.mine") == "kept"
    expect(page.get_by_label("Somebody else")).to_have_value("the bail")
    assert axe_violations(page) == []
    for width in (360, 768, 1280):
        page.set_viewport_size({"width": width, "height": 900})
        assert (width, sideways(page)) == (width, 0)
