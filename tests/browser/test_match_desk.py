"""The secretary plans a match, enters anglers and takes fees: on a phone, and without a script."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from playwright.sync_api import Page, expect

from matches.models import Angler, Entry, FeePayment, Match
from tests.matches.planned import anglers, undrawn

from .conftest import FaultsSeen
from .test_secretary import at

PageAt = Callable[..., Page]


def test_a_match_is_planned_scored_and_entered_by_thumb_without_scripts(
    lasting_world: Any, signed_in: PageAt
) -> None:
    undrawn(lasting_world)
    anglers(lasting_world, "Hester Vane", "Silas Brome", team=lasting_world.alders)
    page = signed_in("idris", 360, java_script_enabled=False)
    page.get_by_role("link", name="Plan a match").click()
    page.get_by_label("Start from").select_option(str(lasting_world.match.pk))
    page.get_by_role("button", name="Fill in from it").click()
    page.get_by_label("Name").fill("July Open")
    page.get_by_label("Day").fill("2030-07-20")
    page.get_by_label("End").fill("09:00")
    page.get_by_role("button", name="Plan the match").click()
    expect(page.get_by_text("This is before the start")).to_be_visible()
    expect(page.get_by_label("Name")).to_have_value("July Open")
    page.get_by_label("End").fill("16:00")
    page.get_by_label("Places").fill("1")
    page.get_by_role("button", name="Plan the match").click()
    expect(page.get_by_text("July Open is planned.")).to_be_visible()
    page.get_by_text("Ways of scoring to start from").click()
    page.get_by_role("button", name="Fill in these rules Club rule").click()
    expect(page.get_by_text("These rules are not saved yet.")).to_be_visible()
    page.get_by_role("button", name="Save the scoring").click()
    expect(page.get_by_text("The scoring is saved.")).to_be_visible()
    match = Match.objects.get(name="July Open")
    assert match.scheme["blank"] == "size_plus_one" and match.section_pegs.count() == 6
    page.get_by_role("link", name="Entries", exact=True).click()
    group = page.locator("details", has_text="Otterbeck Alders")
    group.get_by_label("Hester Vane").check()
    group.get_by_label("Silas Brome").check()
    group.get_by_role("button", name="Enter who is ticked").click()
    expect(page.get_by_text("On the waiting list, in this order: Silas Brome.")).to_be_visible()
    page.get_by_role("link", name="Hester Vane").click()
    page.get_by_role("button", name="Withdraw", exact=True).click()
    expect(page.get_by_text("Silas Brome had waited longest")).to_be_visible()
    assert Entry.objects.get(match=match, status="entered").angler.name == "Silas Brome"


def test_a_fee_sent_twice_by_going_back_is_one_payment(
    lasting_world: Any, signed_in: PageAt
) -> None:
    undrawn(lasting_world, fee_pence=1250)
    page = signed_in("idris", 360)
    page.goto(at(lasting_world, f"entrants/{lasting_world.entries['Maud'].pk}/"))
    expect(page.get_by_label("How much")).to_have_value("12.50")
    key = page.locator("input[name=key]").input_value()
    page.get_by_role("button", name="Taken").click()
    expect(page.get_by_text("Noted as taken.")).to_be_visible()
    page.locator("input[name=key]").evaluate("(e, key) => { e.value = key; }", key)
    page.get_by_label("How much").fill("12.50")
    page.get_by_role("button", name="Taken").click()
    expect(page.get_by_text("Noted as taken.")).to_be_visible()
    assert FeePayment.objects.get().pence == 1250
    page.get_by_role("link", name="Receipt").click()
    expect(page.get_by_text("Nothing is open.")).to_be_visible()


def test_every_page_of_it_fits_its_window_and_reads_well(
    lasting_world: Any, signed_in: PageAt, faults_seen: FaultsSeen
) -> None:
    match = undrawn(lasting_world, fee_pence=1250, places_most=4, called_off="The river is out.")
    Angler.objects.filter(name="Odette Marl").update(junior=True)
    for n, status in enumerate(["waiting", "reserve", "withdrawn"]):
        (angler,) = anglers(lasting_world, f"Bartholomew Featherstonehaugh {n}")
        Entry.objects.create(match=match, angler=angler, status=status)
    page = signed_in("idris", 360)
    maud = lasting_world.entries["Maud"].pk
    say_so = ["settings/", "scoring/", "entries/", f"entrants/{maud}/"]
    addresses = [at(lasting_world, name) for name in say_so]
    others = [at(lasting_world, f"entrants/{maud}/receipt/"), "/desk/clubs/otterbeck/matches/new/"]
    for called_off, walked in {"The river is out.": addresses, "": addresses + others}.items():
        Match.objects.update(called_off=called_off)
        for address in walked:
            page.goto(address)
            page.locator("details").evaluate_all("all => all.forEach((d) => { d.open = true; })")
            assert faults_seen(page, "match-desk") == [], address
