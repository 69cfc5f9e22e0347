"""A captain asks why the order is as it is, on a real page at a phone's width."""

from __future__ import annotations

from typing import Any

from playwright.sync_api import expect

from bait.models import Bait, BaitKind, Pack, PackBreak, Shop
from bait.writes.explanations import explanation_ask, explanation_make
from bait.writes.orders import order_ask, order_version_make
from bait.writes.plan_content import plan_content_parse
from bait.writes.plans import plan_save
from matches.models import WorkRequest, WorkState
from tests.browser.conftest import FaultsSeen, picture_keep


def planned(world: Any, first: str, *feeds: tuple[str, str, str]) -> None:
    rows = [{"bait": b, "amount": a, "unit": u} for b, a, u in feeds]
    raw = {
        "version": 0,
        "stages": [{"kind": "feed", "end_minute": 300, "feeds": rows}],
    }
    plan_save(world.secretary, entry=world.entries[first], content=plan_content_parse(raw))


def ordered(world: Any) -> Any:
    """Three shops, four baits, and an order worked out."""
    Shop.objects.filter(pk=world.shops["hut"].pk).update(
        delivery_fee_pence=350, minimum_spend_pence=2000
    )
    reel = Shop.objects.create(
        club=world.club,
        key="reel",
        name="Reel & Riddle",
        delivery_fee_pence=400,
        free_delivery_from_pence=4000,
        lead_days=3,
    )
    caster = world.baits["caster"]
    Pack.objects.create(shop=reel, bait=caster, key="c", amount=1, unit="pint", price_pence=450)
    for key, name, kind, unit, price in [
        ("maggot", "White maggot", BaitKind.ANIMAL, "pint", 310),
        ("river-mix", "River groundbait, dark", BaitKind.GROUNDBAIT, "kg", 390),
    ]:
        bait = Bait.objects.create(club=world.club, key=key, name=name, kind=kind, unit=unit)
        pack = Pack.objects.create(
            shop=reel, bait=bait, key=key, amount=1, unit=unit, price_pence=price
        )
        PackBreak.objects.create(pack=pack, from_packs=4, price_pence=price - 100)
    hut = world.shops["hut"]
    maggot = Bait.objects.get(key="maggot")
    Pack.objects.create(shop=hut, bait=maggot, key="m", amount=2, unit="pint", price_pence=640)
    planned(world, "Maud", ("caster", "2.5", "pint"), ("river-mix", "3", "kg"))
    planned(
        world, "Wilmot", ("caster", "7", "pint"), ("hemp", "4", "pint"), ("maggot", "3", "pint")
    )
    order, work = order_ask(world.captain, team=world.alders, match=world.match)
    order_version_make(work.pk)
    order.refresh_from_db()
    return order


def address(world: Any) -> str:
    return f"/desk/teams/{world.alders.pk}/matches/{world.match.pk}/order/why/"


def test_a_captain_asks_why_and_watches_the_reasons_come(
    lasting_world: Any, signed_in: Any
) -> None:
    ordered(lasting_world)
    page = signed_in("maud", 360)
    page.goto(f"/desk/teams/{lasting_world.alders.pk}/matches/{lasting_world.match.pk}/order/")
    page.get_by_role("link", name="Why", exact=True).click()
    page.get_by_role("button", name="Work out the reasons").click()
    expect(page.get_by_role("heading", name="Being worked out")).to_be_visible()
    picture_keep(page, "why-working")
    work = WorkRequest.objects.get(state=WorkState.WAITING)
    explanation_make(work.pk)
    expect(page.get_by_role("heading", name="Ways to buy, side by side")).to_be_visible()
    rows = page.get_by_role("table").first.get_by_role("row")
    expect(rows.nth(1)).to_contain_text("Cheapest")
    expect(rows.nth(1)).to_contain_text("the least")
    expect(page.get_by_text("cannot supply 3 kg of River groundbait, dark")).to_be_visible()
    expect(page.get_by_role("rowheader", name="Caster (pint)")).to_be_visible()


def test_reasons_fit_and_can_be_read_by_an_aid(
    lasting_world: Any, signed_in: Any, faults_seen: FaultsSeen
) -> None:
    order = ordered(lasting_world)
    explanation_make(explanation_ask(lasting_world.captain, version=order.current).pk)
    page = signed_in("maud", 360)
    page.goto(address(lasting_world))
    assert faults_seen(page, "why") == []
