"""Pools on a phone, with and without a script: set up, paid into, won, handed over, read by all."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from playwright.sync_api import Page, expect

from matches.models import Entry, FeePayment, Match, Pool, PrizePaid
from tests.browser.conftest import FaultsSeen
from tests.fished import weigh_all
from tests.matches.pooled import coming, confirm, pool

from .test_secretary import at

PageAt = Callable[..., Page]


def test_a_pool_goes_from_preset_to_the_last_prize_by_thumb_without_scripts(
    lasting_world: Any, signed_in: PageAt
) -> None:
    world = lasting_world
    coming(world.match)
    page = signed_in("idris", 360, java_script_enabled=False)
    page.goto(at(world))
    page.get_by_role("link", name="Pools", exact=True).click()
    page.get_by_role("link", name="Start from this Super pool").click()
    page.get_by_label("1st").fill("50.00")
    page.get_by_role("button", name="Set up the pool").click()
    expect(page.get_by_text("The prizes come to 50.00, the pool holds 0.00")).to_be_visible()
    page.get_by_label("1st").fill("50 %")
    page.get_by_role("button", name="Set up the pool").click()
    expect(page.get_by_text("Super pool is set up.")).to_be_visible()
    page.get_by_label("Maud Ferris").check()
    page.get_by_label("Odette Marl").check()
    page.get_by_role("button", name="Save who is in").click()
    for name in ("Maud Ferris", "Odette Marl"):
        page.locator("#owing ~ form").get_by_label(name).check()
    page.get_by_role("button", name="Taken from who is ticked").click()
    expect(page.get_by_text("2 stakes taken: £10.00.")).to_be_visible()
    expect(page.get_by_text("everybody who is in has paid")).to_be_visible()
    weigh_all(world)
    confirm(world)
    page.get_by_role("link", name="Pools", exact=True).click()
    page.get_by_role("link", name="Pay-out list").click()
    page.get_by_role("button", name="Hand over £5.00 Maud Ferris").click()
    expect(page.get_by_text("Noted as handed over.")).to_be_visible()
    page.get_by_role("button", name="Ticked by mistake Maud Ferris").click()
    page.get_by_role("button", name="Hand over £5.00 Maud Ferris").click()
    page.get_by_role("button", name="Hand over £3.00 Odette Marl").click()
    expect(page.get_by_text("even to the penny")).to_be_visible()
    page.get_by_role("link", name="Maud Ferris").click()
    expect(page.get_by_text("Nothing is open.")).to_be_visible()
    assert [p.pence for p in PrizePaid.objects.all()] == [500, -500, 500, 300]


def test_every_page_of_it_fits_its_window_and_reads_well(
    lasting_world: Any, signed_in: PageAt, faults_seen: FaultsSeen
) -> None:
    world = lasting_world
    frame = {
        "place-1": "10",
        "place-2": "4.01",
        "place-3": "1",
        "section": "1",
        "by_default": "yes",
    }
    made = pool(world, **frame, rest_to="the club’s junior section")
    fish = pool(world, name="Biggest fish", won_by="biggest_fish")
    chosen = pool(world, name="The super pool of those who chose it", who="opt_in")
    weigh_all(world)
    wilmot, odette = (world.entries[name] for name in ("Wilmot", "Odette"))
    for of in (made, fish):
        FeePayment.objects.create(entry=odette, pool=of, pence=500)
    FeePayment.objects.create(entry=wilmot, pool=chosen, pence=500)
    confirm(world)
    page = signed_in("idris", 360)
    pages = {"pools": "pools/", "pool-new": "pools/new/?preset=frame-sections"}
    pages |= {"payouts": "payouts/", "prize": f"payouts/{world.entries['Maud'].pk}/"}
    pages |= {f"pool-{of.key}": f"pools/{of.pk}/" for of in (made, fish, chosen)}
    for handed in ("", "-handed"):
        if handed:
            for entry in Entry.objects.filter(match=world.match):
                PrizePaid.objects.create(match=world.match, entry=entry, pence=600)
            Match.objects.filter(pk=world.match.pk).update(fee_pence=500)
            Pool.objects.filter(pk=fish.pk).update(section_pence=9000)
            pages = {
                name: pages[name] for name in ("pools", "payouts", "prize", f"pool-{fish.key}")
            }
        for name, address in pages.items():
            page.goto(at(world, address))
            page.locator("details").evaluate_all("all => all.forEach((d) => { d.open = true; })")
            pressed = "main button, main .button, main .choice, main h2 a, main tbody a"
            assert faults_seen(page, f"{name}{handed}", pressed=pressed) == [], name
