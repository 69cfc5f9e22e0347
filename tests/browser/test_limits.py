"""A secretary sets a match's limits on a phone, and a member sees what to leave out."""

from __future__ import annotations

from typing import Any

from playwright.sync_api import expect

from bait.models import Bait, BaitKind, MatchLimit
from tests.browser.conftest import FaultsSeen
from tests.browser.test_captain import planned
from tests.browser.test_plan import unfold


def kinds_made(world: Any) -> None:
    for key, name, kind, unit, family in [
        ("bloodworm", "Bloodworm", BaitKind.ANIMAL, "L", "larvae"),
        ("lobworm", "Lobworm", BaitKind.ANIMAL, "each", "worm"),
        ("maggot", "White maggot", BaitKind.ANIMAL, "pint", ""),
        ("river-mix", "River groundbait, dark and sweet", BaitKind.GROUNDBAIT, "L", ""),
    ]:
        world.baits[key] = Bait.objects.create(
            club=world.club, key=key, name=name, kind=kind, unit=unit, family=family
        )


def address(world: Any) -> str:
    return f"/desk/matches/{world.match.pk}/limits/"


def heavy_plan(world: Any) -> None:
    planned(
        world,
        "Wilmot",
        ("caster", "5", "pint"),
        ("maggot", "2", "pint"),
        ("bloodworm", "1.2", "L"),
        ("lobworm", "20", "each"),
        ("hemp", "6", "pint"),
        ("river-mix", "18", "L"),
    )


def test_a_secretary_without_scripts_takes_a_rule_changes_it_forbids_a_bait_and_undoes(
    lasting_world: Any, signed_in: Any
) -> None:
    kinds_made(lasting_world)
    page = signed_in("idris", 360, java_script_enabled=False)
    page.goto(f"/desk/matches/{lasting_world.match.pk}/")
    page.get_by_role("link", name="Bait limits").click()
    page.get_by_role("button", name="Use these limits Float, adults").click()
    expect(page.get_by_text("The limits are saved.")).to_be_visible()
    page.locator("[name=part-1-allowed_l]").fill("0,4")
    page.get_by_label("Bait", exact=True).select_option("lobworm")
    page.get_by_role("button", name="Add it as forbidden").click()
    expect(page.locator("[name=part-3-name]")).to_have_value("No Lobworm")
    expect(page.get_by_text("not saved yet")).to_be_visible()
    page.get_by_role("button", name="Save the limits").click()
    expect(page.get_by_text("The limits are saved.")).to_be_visible()
    assert [f"{limit.allowed_l.normalize():f}" for limit in MatchLimit.objects.all()] == [
        "1",
        "0.4",
        "0.5",
        "0",
    ]
    page.get_by_role("button", name="Undo my last change").click()
    expect(page.locator("[name=part-1-allowed_l]")).to_have_value("0.5")
    assert MatchLimit.objects.count() == 3


def test_a_member_sees_each_limit_and_follows_what_to_leave_out(
    lasting_world: Any, signed_in: Any
) -> None:
    kinds_made(lasting_world)
    planned(lasting_world, "Wilmot", ("caster", "4", "pint"), ("maggot", "1", "pint"))
    page = signed_in("wilmot", 360)
    page.goto(f"/desk/plans/{lasting_world.match.pk}/")
    # With a tenth to spare 4.4 and 1.1 pints; 2.5 L are 4.399, so 3.299 of caster are left.
    bar = page.locator(".limit").filter(has_text="Animal bait")
    expect(bar).to_contain_text("0.63 L over")
    expect(bar.locator(".to-fit")).to_have_text(
        "Leave out 1.2 pints of Caster: carry 3.2 pints. "
        "That is 2.9 pints in the plan, before the spare."
    )
    unfold(page, "stage-0")
    page.locator("[name=stage-0-feed-0-amount]").fill("2.9")
    page.get_by_role("button", name="Add it up").click()
    expect(bar.get_by_text("within")).to_be_visible()
    expect(page.locator(".to-fit")).to_have_count(0)


def test_limits_fit_and_can_be_read_by_an_aid(
    lasting_world: Any, signed_in: Any, faults_seen: FaultsSeen
) -> None:
    world = lasting_world
    kinds_made(world)
    secretary = signed_in("idris", 360)
    secretary.goto(address(world))
    seen = {"first": faults_seen(secretary, "limits-first")}
    secretary.get_by_role("button", name="Use these limits Float, adults").click()
    expect(secretary.get_by_text("The limits are saved.")).to_be_visible()
    secretary.locator("[name=part-0-allowed_l]").fill("many")
    secretary.get_by_label("Bait", exact=True).select_option("lobworm")
    secretary.get_by_role("button", name="Add it as forbidden").click()
    secretary.get_by_role("button", name="Save the limits").click()
    expect(secretary.get_by_text("Nothing is saved yet")).to_be_visible()
    seen["wrong"] = faults_seen(secretary, "limits-wrong")
    secretary.locator("[name=part-0-allowed_l]").fill("1")
    secretary.get_by_role("button", name="Save the limits").click()
    expect(secretary.get_by_text("The limits are saved.")).to_be_visible()
    heavy_plan(world)
    page = signed_in("maud", 360)
    for name, where in [
        ("limits-read", address(world)),
        ("limits-plan", f"/desk/plans/{world.match.pk}/entries/{world.entries['Wilmot'].pk}/"),
        ("limits-team", f"/desk/teams/{world.alders.pk}/matches/{world.match.pk}/"),
    ]:
        page.goto(where)
        for summary in page.locator("summary:visible").all():
            summary.click()
        seen[name] = faults_seen(page, name)
    assert seen == {name: [] for name in seen}


def test_the_phone_says_of_each_whole_limit_what_ones_plan_uses(
    lasting_world: Any, signed_in: Any
) -> None:
    kinds_made(lasting_world)
    planned(lasting_world, "Wilmot", ("caster", "4", "pint"), ("hemp", "1", "L"))
    page = signed_in("wilmot", 360)
    page.goto(f"/bank/#/match/{lasting_world.match.pk}")
    # 4.4 pints are 2.5004 L, and a tenth to spare makes 1.1 L of the hemp.
    expect(page.get_by_text("2.5 L animal bait · your plan 2.51 L")).to_contain_text("over")
    groundbait = page.get_by_text("20 L groundbait, soil and particles · your plan 1.1 L")
    expect(groundbait).to_contain_text("within")
