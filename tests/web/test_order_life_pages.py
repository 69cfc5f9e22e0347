"""The order's course over HTTP: what each step shows, what leaves the page, and who may not."""

from __future__ import annotations

import csv
import datetime as dt
import io
from typing import Any

import pytest
from django.test import Client

from bait.models import Order, Pack, Shop, SoldOut
from bait.writes.orders import order_version_make
from matches.models import WorkRequest, WorkState
from tests.clients import signed_in
from tests.ordered import planned


def work_out() -> None:
    for work in WorkRequest.objects.filter(state=WorkState.WAITING):
        order_version_make(work.pk)


@pytest.fixture
def reel(world: Any) -> Shop:
    shop = Shop.objects.create(club=world.club, key="reel", name="Reel & Riddle")
    Pack.objects.create(
        shop=shop,
        bait=world.baits["caster"],
        key="caster",
        amount=1,
        unit="pint",
        price_pence=450,
    )
    return shop


@pytest.fixture
def address(world: Any, reel: Shop) -> str:
    """An order of ten packs at 3.80 from the Hut, worked out."""
    planned(world, "Maud", caster="2.5")
    planned(world, "Wilmot", caster="7")
    page = f"/desk/teams/{world.alders.pk}/matches/{world.match.pk}/order/"
    signed_in(world.captain).post(page, {"do": "ask"})
    work_out()
    return page


def text_of(client: Client, address: str) -> str:
    answer = client.get(address)
    assert answer.status_code == 200
    return str(answer.content.decode())


def said(client: Client, address: str, **sent: str) -> str:
    answer = client.post(address, sent, follow=True)
    assert answer.status_code == 200
    return str(answer.content.decode())


def test_an_order_goes_from_placed_to_bagged_and_back_on_the_page(world: Any, address: str) -> None:
    client, pack = signed_in(world.captain), world.packs["caster"].pk
    assert "When the bait comes" in said(client, address, do="place", version="1")
    received = {"do": "receive", "version": "1", f"came-{pack}": "8", f"note-{pack}": "split bag"}
    text = said(client, address, **received)
    assert "Kept as it came." in text and "8 of 10" in text and "split bag" in text
    text = said(client, address, do="bag")
    assert "The bags are filled" in text and "Money is still open." in text
    assert "Money is still owed." in said(client, address, do="settle")
    assert "The bags are open again" in said(client, address, do="bag-back")
    text = said(client, address, do="receive-back")
    assert "Nothing counts as come now." in text and "<details open>" in text
    assert f'name="came-{pack}" inputmode="numeric" value="8"' in text
    assert 'value="split bag"' in text
    assert "Nothing counts as placed now." in said(client, address, do="withdraw", version="1")
    order = Order.objects.get()
    assert (order.placed, order.received_at, order.bagged_at) == (None, None, None)


def test_a_count_that_is_none_loses_nothing_of_what_was_written(world: Any, address: str) -> None:
    client, pack = signed_in(world.captain), world.packs["caster"].pk
    said(client, address, do="place", version="1")
    wrong = {"do": "receive", "version": "1", f"came-{pack}": "eight", f"note-{pack}": "split bag"}
    text = said(client, address, **wrong)
    assert text.count("Write a whole number of packs, from 0 up.") == 2
    assert f'aria-describedby="fault-{pack}"' in text
    assert 'value="eight"' in text and 'value="split bag"' in text
    assert Order.objects.get().received_at is None


def test_a_late_change_tells_its_cost_and_is_accepted_and_taken_back(
    world: Any, address: str
) -> None:
    client = signed_in(world.captain)
    client.post(address, {"do": "place", "version": "1"})
    planned(world, "Maud", caster="4")
    assert "Work out what the change costs" in text_of(client, address)
    client.post(address, {"do": "ask"})
    work_out()
    text = text_of(client, address)
    assert "It costs £3.80 more than version 1, which is placed." in text
    assert "10 → 11" in text and "£10.00 → £15.20" in text
    assert "11 × Caster, 1 pint (instead of 10)" in text
    text = said(client, address, do="accept", version="2")
    assert "Version 2 counts as placed now." in text and "When the bait comes" in text
    text = said(client, address, do="take-back", version="2")
    assert "The change is taken back" in text and "It costs £3.80 more" in text


def test_a_sold_out_pack_is_marked_and_the_rest_worked_out_again(world: Any, address: str) -> None:
    client, pack = signed_in(world.captain), str(world.packs["caster"].pk)
    client.post(address, {"do": "place", "version": "1"})
    text = said(client, address, do="sold-out", pack=pack, packs="6")
    assert "what is bought stays bought" in text and "only 6 packs to be had" in text
    assert "Being worked out" in text
    work_out()
    text = text_of(client, address)
    assert "10 → 6" in text and "0 → 4" in text and "4 × Caster, 1 pint (new)" in text
    said(client, address, do="not-sold-out", pack=pack)
    assert not SoldOut.objects.exists()


@pytest.mark.parametrize("packs", ["-1", "x", "1.5", "9" * 12, "10001"])
def test_a_count_that_is_none_is_told_and_changes_nothing(
    world: Any, address: str, packs: str
) -> None:
    client, pack = signed_in(world.captain), str(world.packs["caster"].pk)
    assert "from 0 up" in said(client, address, do="sold-out", pack=pack, packs=packs)
    client.post(address, {"do": "place", "version": "1"})
    sent = {"do": "receive", "version": "1", f"came-{pack}": packs}
    assert "from 0 up" in said(client, address, **sent)
    assert not SoldOut.objects.exists() and Order.objects.get().received_at is None


def test_an_unknown_button_changes_nothing(world: Any, address: str) -> None:
    assert "Press one of the buttons" in said(
        signed_in(world.captain), address, do="burn", version="1"
    )
    assert Order.objects.get().placed is None


def test_what_cannot_be_had_is_said_without_the_calculators_own_names(
    world: Any, address: str
) -> None:
    client = signed_in(world.captain)
    Pack.objects.update(max_packs=2)
    client.post(address, {"do": "ask"})
    work_out()
    text = text_of(client, address)
    assert "The shops do not have enough of it." in text and "max_packs" not in text


def test_a_cut_off_that_has_passed_is_said(world: Any, address: str) -> None:
    world.match.date = world.match.date.replace(year=2020)
    world.match.save()
    assert "cut-off passed" in text_of(signed_in(world.captain), address)


def test_the_text_and_the_table_of_one_shop_or_all(world: Any, address: str) -> None:
    client = signed_in(world.captain)
    assert "10 × Caster, 1 pint" in text_of(client, f"{address}shops.txt?shop=hut")
    assert client.get(f"{address}shops.txt?shop=reel").status_code == 404
    body = text_of(client, f"{address}shops.csv").removeprefix("\ufeff")
    assert list(csv.reader(io.StringIO(body))) == [
        ["shop", "bait", "pack", "unit", "packs", "each", "cost"],
        ["Hobday's Hut", "Caster", "1", "pint", "10", "3.80", "38.00"],
    ]


@pytest.mark.parametrize("start", ["=", "+", "-", "@", "\t", " ="])
def test_no_cell_of_the_table_is_run_by_a_spreadsheet(world: Any, address: str, start: str) -> None:
    world.shops["hut"].name = f"{start}HYPERLINK(1)"
    world.shops["hut"].save()
    body = text_of(signed_in(world.captain), f"{address}shops.csv").removeprefix("\ufeff")
    assert list(csv.reader(io.StringIO(body)))[1][0] == f"'{start}HYPERLINK(1)"


def test_the_calendar_has_cut_offs_and_collection_escaped_and_folded(
    world: Any, address: str
) -> None:
    hut = world.shops["hut"]
    hut.name = "Hobday's; Hut, the long\\winded one at the end of the lane by the weir — ask twice"
    hut.lead_days = 2
    hut.save()
    answer = signed_in(world.captain).get(f"{address}calendar.ics")
    assert answer["Content-Type"] == "text/calendar; charset=utf-8"
    raw = answer.content
    assert all(len(line) <= 75 for line in raw.split(b"\r\n"))
    assert b"\n" not in raw.replace(b"\r\n", b"")
    lines = raw.decode().replace("\r\n ", "").split("\r\n")
    assert lines[0] == "BEGIN:VCALENDAR" and lines[-2:] == ["END:VCALENDAR", ""]
    assert "DTSTART:20260618T160000Z" in lines  # 17:00 in June, two days before the 20th
    assert "DTSTART;VALUE=DATE:20260619" in lines
    assert (
        "SUMMARY:Order bait from Hobday's\\; Hut\\, the long\\\\winded one at the end of the lane "
        "by the weir — ask twice by now" in lines
    )
    assert lines.count("BEGIN:VEVENT") == lines.count("END:VEVENT") == 2


def test_the_page_to_print_has_one_part_a_shop(world: Any, address: str) -> None:
    text = text_of(signed_in(world.captain), f"{address}print/")
    assert text.count('class="sheet shop-page"') == 1 and "Hobday" in text


def test_an_open_page_is_told_when_a_plan_changes(world: Any, address: str) -> None:
    client = signed_in(world.captain)
    first = client.get(f"{address}state.json")
    assert first["Cache-Control"] == "no-store"
    assert first.json() == {
        "state": "worked_out",
        "version": 1,
        "placed": None,
        "stale": False,
        "working": False,
    }
    planned(world, "Maud", caster="4")
    assert client.get(f"{address}state.json").json()["stale"] is True


@pytest.mark.parametrize(
    "do",
    ["accept", "take-back", "receive", "receive-back", "bag", "bag-back", "settle", "settle-back"],
)
def test_a_step_that_cannot_be_taken_is_answered_in_words(
    world: Any, address: str, do: str
) -> None:
    text = said(signed_in(world.captain), address, do=do, version="1")
    assert 'class="message error"' in text


def test_files_of_an_order_that_is_not_there_are_not_there(world: Any) -> None:
    page = f"/desk/teams/{world.alders.pk}/matches/{world.match.pk}/order/"
    assert signed_in(world.captain).get(f"{page}shops.csv").status_code == 404
    assert signed_in(world.captain).get(f"{page}state.json").json()["state"] == "draft"


def test_what_came_short_is_said_with_the_sum_that_the_kitty_shares(
    world: Any, address: str
) -> None:
    client, pack = signed_in(world.captain), world.packs["caster"].pk
    said(client, address, do="place", version="1")
    text = said(client, address, **{"do": "receive", "version": "1", f"came-{pack}": "8"})
    assert "As it came: £30.40." in text and "Shares and bags below are as ordered" in text
    assert "£30.40" in text_of(client, address.replace("/order/", "/kitty/"))
    said(client, address, do="receive-back")
    said(client, address, do="receive", version="1")
    assert "As it came" not in text_of(client, address)


def test_more_packs_than_ordered_are_flagged(world: Any, address: str) -> None:
    client, pack = signed_in(world.captain), world.packs["caster"].pk
    said(client, address, do="place", version="1")
    text = said(client, address, **{"do": "receive", "version": "1", f"came-{pack}": "80"})
    assert "80 of 10, more than ordered" in text


def test_all_that_was_ordered_is_received_by_one_button_at_the_top(
    world: Any, address: str
) -> None:
    client = signed_in(world.captain)
    text = said(client, address, do="place", version="1")
    assert text.index("All of it came") < text.index('name="came-')
    assert "10 of 10" in said(client, address, do="receive", version="1")


def test_a_shop_that_wants_its_order_before_the_matchs_own_cut_off_says_so(
    world: Any, address: str
) -> None:
    client = signed_in(world.captain)
    world.match.date = world.match.date.replace(year=2090)
    world.match.order_by = dt.datetime(2090, 6, 20, tzinfo=dt.UTC)
    world.match.save()
    assert "That is before the match’s own cut-off." in text_of(client, address)
    world.match.order_by = None
    world.match.save()
    assert "That is before" not in text_of(client, address)
