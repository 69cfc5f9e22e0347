"""The larder and what is left over, on a real page at a phone's width."""

from __future__ import annotations

import datetime as dt
import uuid
from decimal import Decimal
from typing import Any

from django.utils import timezone
from playwright.sync_api import expect

from bait.models import LarderLot, LotMove
from bait.writes.larder import lot_bring, lot_take
from tests.browser.conftest import FaultsSeen, picture_keep
from tests.browser.test_captain import both_planned


def shelves(world: Any) -> None:
    """Lots of every state, one past its day, and a few movements."""
    both_planned(world)
    today = timezone.localdate()
    maud = world.entries["Maud"].angler
    for bait, amount, state, angler, days in (
        ("caster", "1.4207", "fresh", None, 2),
        ("caster", "0.5", "frozen", maud, 60),
        ("hemp", "2", "frozen", None, 40),
        ("hemp", "1", "cooked", None, -1),
        ("river-mix", "3", "dry", None, 300),
        ("leam", "12.5", "dry", None, None),
    ):
        lot = lot_bring(
            world.captain,
            team=world.alders,
            angler=angler,
            bait=world.baits[bait],
            amount=Decimal(amount),
            unit=world.baits[bait].unit,
            state=state,
            on=today - dt.timedelta(days=9),
            use_by=None if days is None else today + dt.timedelta(days=days),
            note="blue tub on the second shelf" if state == "frozen" else "",
            key=uuid.uuid4(),
        )
    lot_take(world.captain, lot=lot, amount=Decimal("2.5"), key=uuid.uuid4())


def test_the_larder_fits_and_axe_finds_nothing(
    lasting_world: Any, signed_in: Any, faults_seen: FaultsSeen
) -> None:
    shelves(lasting_world)
    page = signed_in("maud", 360)
    page.goto(f"/desk/teams/{lasting_world.alders.pk}/larder/")
    page.locator("summary").first.click()
    assert faults_seen(page, "larder", pressed="main button, main summary, main select") == []


def test_a_captain_without_scripts_throws_away_by_a_slip_and_puts_it_back(
    lasting_world: Any, signed_in: Any
) -> None:
    shelves(lasting_world)
    page = signed_in("maud", 360, java_script_enabled=False)
    page.goto(f"/desk/teams/{lasting_world.alders.pk}/larder/")
    hemp = page.locator(".lots > li", has_text="past its day")
    hemp.locator("summary").click()
    hemp.get_by_role("button", name="Throw it away").click()
    expect(page.get_by_text("Thrown away: 1 pint of Hemp.")).to_be_visible()
    expect(page.get_by_text("past its day")).to_have_count(0)
    page.get_by_role("button", name="Put it back Hemp").click()
    expect(page.get_by_text("Both movements stay in the ledger.")).to_be_visible()
    page.get_by_label("Bait", exact=True).select_option("caster")
    page.get_by_label("Amount").fill("2,5")
    page.get_by_role("button", name="Bring it in").click()
    expect(page.get_by_text("Brought in: Caster, 2.5 pints.")).to_be_visible()
    assert LarderLot.objects.filter(bait__key="caster").count() == 3


def test_left_overs_go_back_in_two_taps(
    lasting_world: Any, signed_in: Any, faults_seen: FaultsSeen
) -> None:
    both_planned(lasting_world)
    page = signed_in("wilmot", 360)
    page.goto(f"/desk/teams/{lasting_world.alders.pk}/matches/{lasting_world.match.pk}/left-over/")
    assert faults_seen(page, "left-over-first") == []
    page.get_by_role("button", name="Freeze what is left").click()
    expect(page.get_by_text("Set to frozen, not saved yet")).to_be_visible()
    assert faults_seen(page, "left-over") == []
    page.get_by_role("button", name="Put it back").click()
    expect(page.get_by_text("4 lots are in the larder now.")).to_be_visible()
    picture_keep(page, "left-over-done")
    states = dict(LarderLot.objects.values_list("bait__key", "state"))
    assert states == {"caster": "frozen", "hemp": "frozen", "maggot": "frozen", "leam": "dry"}
    assert LotMove.objects.filter(kind="left_over").count() == 4


def test_the_captain_sees_everybodys_bag_at_a_phones_width(
    lasting_world: Any, signed_in: Any, faults_seen: FaultsSeen
) -> None:
    both_planned(lasting_world)
    page = signed_in("maud", 360)
    page.goto(f"/desk/teams/{lasting_world.alders.pk}/matches/{lasting_world.match.pk}/left-over/")
    assert faults_seen(page, "left-over-team") == []
    page.get_by_role("radio", name="The team’s").check()
    page.get_by_role("button", name="Put it back").click()
    expect(page.get_by_text("6 lots are in the larder now.")).to_be_visible()
    assert not LarderLot.objects.filter(angler__isnull=False).exists()
