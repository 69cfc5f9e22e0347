"""A club's shops, price lists and baits over HTTP, as each role meets them."""

from __future__ import annotations

import io
from typing import Any

import pytest
from django.test import Client

from bait.models import Bait, Pack, Shop
from bait.writes.packs import pack_retire
from tests.clients import signed_in

SHOPS = "/desk/shops/otterbeck/"
HUT = f"{SHOPS}hut/"
LIST = f"{HUT}list/"
BAITS = "/desk/baits/otterbeck/"
HEAD = "bait,amount,unit,price,from_packs,break_price\n"
GOOD = HEAD + "Caster,1,pint,4.40,10,3.80\nCaster,4,pint,15.00,,\n"
TERMS = {
    "name": "Reel & Riddle",
    "delivery_fee": "5.50",
    "minimum_spend": "0",
    "free_delivery_from": "",
    "lead_days": "2",
    "cut_off": "16:30",
}
BAIT = {"name": "Pinkie", "kind": "animal", "unit": "pint", "family": "", "density": "", "bag": ""}


def file_of(text: str | bytes) -> io.BytesIO:
    sent = io.BytesIO(text if isinstance(text, bytes) else text.encode())
    sent.name = "prices.csv"
    return sent


def look(client: Client, text: str | bytes) -> str:
    return client.post(LIST, {"do": "look", "file": file_of(text)}).content.decode()


def kept(page: str) -> str:
    return page.split('name="list" value="')[1].split('"')[0]


@pytest.fixture
def captain(world: Any) -> Client:
    return signed_in(world.captain)


# Who may -------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("address", "sent"),
    [
        (SHOPS, TERMS),
        (HUT, {"do": "retire"}),
        (HUT, {"do": "delete"}),
        (LIST, {"do": "import"}),
        (f"{HUT}packs/", {"bait": "hemp", "amount": "2", "unit": "pint", "price": "1"}),
        (f"{HUT}packs/{{pack}}/", {"do": "delete"}),
        (BAITS, BAIT),
        (f"{BAITS}hemp/", {"do": "delete"}),
    ],
)
def test_who_may_not_changes_nothing(world: Any, address: str, sent: dict[str, str]) -> None:
    asked = address.format(pack=world.packs["hemp"].pk)
    assert signed_in(world.member).post(asked, sent).status_code == 403
    assert (Shop.objects.filter(retired=False).count(), Pack.objects.count()) == (1, 2)
    assert Bait.objects.count() == 2


@pytest.mark.parametrize(
    "address",
    ["/desk/shops/larkmill/", f"{SHOPS}none/", f"{HUT}packs/999999/", f"{BAITS}none/"],
)
def test_what_is_not_there_is_not_found(captain: Client, address: str) -> None:
    assert captain.get(address).status_code == 404


# Shops and packs -----------------------------------------------------------------------------


def test_the_desk_leads_to_the_shops_of_who_keeps_them(world: Any, captain: Client) -> None:
    assert SHOPS in captain.get("/desk/").content.decode()
    assert SHOPS not in signed_in(world.member).get("/desk/").content.decode()


def test_a_shop_is_added_changed_retired_and_brought_back(captain: Client) -> None:
    assert captain.post(SHOPS, TERMS)["Location"] == f"{SHOPS}reel-riddle/"
    page = captain.get(f"{SHOPS}reel-riddle/").content.decode()
    assert 'value="5.50"' in page
    assert "No packs yet" in page
    captain.post(f"{SHOPS}reel-riddle/", {**TERMS, "do": "save", "delivery_fee": "6"})
    assert Shop.objects.get(key="reel-riddle").delivery_fee_pence == 600
    captain.post(f"{SHOPS}reel-riddle/", {"do": "retire"})
    assert "retired" in captain.get(SHOPS).content.decode()
    captain.post(f"{SHOPS}reel-riddle/", {"do": "back"})
    assert not Shop.objects.get(key="reel-riddle").retired


def test_wrong_terms_stay_as_typed_with_their_faults(captain: Client) -> None:
    page = captain.post(SHOPS, {**TERMS, "cut_off": "late", "delivery_fee": "lots"})
    assert page.status_code == 200
    text = page.content.decode()
    assert 'value="late"' in text
    assert 'value="lots"' in text
    assert "Write the time of day such as 17:00." in text
    assert Shop.objects.count() == 1


def test_a_pack_gets_a_new_price_and_breaks(world: Any, captain: Client) -> None:
    address = f"{HUT}packs/{world.packs['caster'].pk}/"
    sent = {"do": "save", "price": "4,40", "from_packs": "5", "break_price": "4"}
    sent |= {"from_packs_2": "10", "break_price_2": "3,50", "max_packs": "20", "bait": "hemp"}
    assert captain.post(address, sent)["Location"] == HUT
    page = captain.get(HUT).content.decode()
    for words in ("£4.40", "from 5: £4.00", "from 10: £3.50", "at most 20"):
        assert words in page
    assert Pack.objects.get(pk=world.packs["caster"].pk).bait.key == "caster"
    bad = captain.post(address, {**sent, "price": "x"}).content.decode()
    assert "Write the price of one pack" in bad


def test_a_pack_is_added_and_a_second_time_refused(captain: Client) -> None:
    sent = {"bait": "hemp", "amount": "5", "unit": "pint", "price": "6.90"}
    assert captain.post(f"{HUT}packs/", sent)["Location"] == HUT
    again = captain.post(f"{HUT}packs/", sent)
    assert "change its price there" in again.content.decode()
    assert Pack.objects.count() == 3


def test_a_deleted_shop_is_gone_with_its_page(captain: Client) -> None:
    assert captain.post(HUT, {"do": "delete"})["Location"] == SHOPS
    assert captain.get(HUT).status_code == 404


# Price lists ---------------------------------------------------------------------------------


def test_a_list_is_looked_at_then_imported_with_one_tap(captain: Client) -> None:
    page = look(captain, GOOD)
    assert "1 new, 1 changed, 0 brought back, 0 as they are." in page
    assert "Hemp" in page
    assert Pack.objects.count() == 2
    answer = captain.post(LIST, {"do": "import", "list": kept(page)}, follow=True)
    assert "Imported: 1 new, 1 changed, 0 brought back, 0 retired." in answer.content.decode()
    assert Pack.objects.filter(retired=False).count() == 3
    again = captain.post(LIST, {"do": "import", "list": kept(page)}, follow=True)
    assert "Nothing differed: nothing is changed." in again.content.decode()
    assert "up to date" not in look(captain, GOOD)  # hemp is still offered for retiring


def test_only_what_is_ticked_of_the_rest_is_retired(world: Any, captain: Client) -> None:
    page = look(captain, GOOD)
    ids = [str(world.packs[name].pk) for name in ("hemp", "caster")]
    captain.post(LIST, {"do": "import", "list": kept(page), "retire": ids})
    assert list(Pack.objects.filter(retired=True).values_list("key", flat=True)) == ["hemp-pint"]


def test_all_of_the_rest_is_what_was_shown_and_not_what_came_since(
    world: Any, captain: Client
) -> None:
    page = look(captain, GOOD)
    captain.post(f"{HUT}packs/", {"bait": "hemp", "amount": "5", "unit": "pint", "price": "6.90"})
    captain.post(LIST, {"do": "import", "list": kept(page), "retire": "all"})
    assert list(Pack.objects.filter(retired=True).values_list("key", flat=True)) == ["hemp-pint"]


def test_faults_are_told_by_row_and_column_and_nothing_is_imported(captain: Client) -> None:
    page = look(captain, GOOD + "Worm,1,pint,4.00,,\nHemp,1,pint,£2,,\n")
    assert "Nothing is imported: mend this first" in page
    assert '<td>4</td><td class="column">bait</td>' in page
    assert '<td>5</td><td class="column">price</td>' in page
    assert 'name="list"' not in page
    assert Pack.objects.count() == 2


@pytest.mark.parametrize(
    ("raw", "words"),
    [
        ("bait;amount\n".encode("utf-16"), "UTF-16"),
        ("bait,amount,unit,price\nCastér,1,pint,4\n".encode("cp1252"), "This is not UTF-8"),
        (b"a" * (1024 * 1024 + 1), "larger than 1 MiB"),
        (b"", "empty"),
        (b"PK\x03\x04", "spreadsheet itself"),
        (b'bait,amount,unit,price\n"Caster,1', "quotation marks"),
    ],
)
def test_a_file_of_another_sort_is_refused_in_words(
    captain: Client, raw: bytes, words: str
) -> None:
    answer = captain.post(LIST, {"do": "look", "file": file_of(raw)})
    assert answer.status_code == 200
    assert words in answer.content.decode()


def test_nothing_chosen_is_said(captain: Client) -> None:
    assert "Choose the file" in captain.post(LIST, {"do": "look"}).content.decode()


def test_a_list_changed_on_the_way_or_of_another_shop_is_refused(
    world: Any, captain: Client
) -> None:
    page = look(captain, GOOD)
    bad = captain.post(LIST, {"do": "import", "list": kept(page)[:-3] + "abc"})
    assert "choose the file again" in bad.content.decode()
    captain.post(SHOPS, TERMS)
    other = captain.post(f"{SHOPS}reel-riddle/list/", {"do": "import", "list": kept(page)})
    assert "not for this page" in other.content.decode()
    assert Pack.objects.count() == 2


def test_what_is_exported_imports_as_nothing_new(world: Any, captain: Client) -> None:
    Bait.objects.create(club=world.club, key="hemp-2", name="=hemp", kind="other", unit="pint")
    Bait.objects.create(club=world.club, key="twin", name="Caster", kind="other", unit="pint")
    for key in ("hemp-2", "twin"):
        sent = {"bait": key, "amount": "2", "unit": "pint", "price": "1"}
        sent |= {"from_packs": "2", "break_price": "0.9", "from_packs_2": "4"}
        captain.post(f"{HUT}packs/", {**sent, "break_price_2": "0.8", "max_packs": "7"})
    answer = captain.get(f"{HUT}prices.csv")
    assert answer["Content-Type"] == "text/csv; charset=utf-8"
    assert 'filename="hut-prices.csv"' in answer["Content-Disposition"]
    text = answer.content.decode("utf-8-sig")
    assert text.splitlines() == [
        "bait,amount,unit,price,from_packs,break_price,from_packs_2,break_price_2,max_packs",
        "'=hemp,2,pint,1.00,2,0.90,4,0.80,7",
        "caster,1,pint,4.20,10,3.80,,,",
        "twin,2,pint,1.00,2,0.90,4,0.80,7",
        "Hemp,1,pint,1.50,,,,,",
    ]
    page = look(captain, answer.content)
    assert "0 new, 0 changed, 0 brought back, 4 as they are." in page
    assert "up to date" in page


def test_retired_packs_are_not_exported(world: Any, captain: Client) -> None:
    pack_retire(world.captain, pack=world.packs["hemp"])
    assert "Hemp" not in captain.get(f"{HUT}prices.csv").content.decode()


def test_two_thousand_rows_go_through_both_steps(world: Any, captain: Client) -> None:
    text = HEAD + "".join(f"Caster,{n}.5,pint,{n}.37,7,{n}.11\n" for n in range(1, 2001))
    page = look(captain, text)
    assert "2000 new" in page
    captain.post(LIST, {"do": "import", "list": kept(page), "retire": "all"})
    assert Pack.objects.filter(retired=False).count() == 2000


# Baits ---------------------------------------------------------------------------------------


def test_a_bait_is_added_changed_and_deleted(captain: Client) -> None:
    assert captain.post(BAITS, BAIT)["Location"] == BAITS
    captain.post(f"{BAITS}pinkie/", {**BAIT, "do": "save", "density": "0,62", "family": "larvae"})
    bait = Bait.objects.get(key="pinkie")
    assert (str(bait.bulk_density_kg_per_l), bait.family) == ("0.6200", "larvae")
    assert "0.62 kg a litre" in captain.get(BAITS).content.decode()
    captain.post(f"{BAITS}pinkie/", {"do": "delete"})
    assert not Bait.objects.filter(key="pinkie").exists()


def test_a_wrong_bait_stays_as_typed(captain: Client) -> None:
    page = captain.post(BAITS, {**BAIT, "name": "hemp", "density": "much"})
    text = page.content.decode()
    assert 'value="much"' in text
    assert "Write a number such as 0.62" in text


def test_a_bait_that_is_named_says_so_on_its_page(world: Any, captain: Client) -> None:
    from bait.models import LarderLot

    LarderLot.objects.create(team=world.alders, bait=world.baits["hemp"], amount=1, unit="pint")
    page = captain.post(f"{BAITS}hemp/", {"do": "delete"}, follow=True).content.decode()
    assert "Hemp is named by 1 lot of a larder" in page
    assert "Retire its packs instead" in page
    captain.post(f"{BAITS}hemp/", {"do": "retire-packs"})
    assert Pack.objects.get(key="hemp-pint").retired


# How many queries ----------------------------------------------------------------------------


@pytest.mark.parametrize(
    "address",
    ["/desk/", SHOPS, HUT, LIST, f"{HUT}packs/", f"{HUT}packs/{{pack}}/", BAITS, f"{BAITS}hemp/"],
)
def test_pages_ask_the_database_little_however_long_the_lists(
    world: Any, captain: Client, address: str, django_assert_max_num_queries: Any
) -> None:
    look_at = look(captain, HEAD + "".join(f"Caster,{n},pint,{n},,\n" for n in range(2, 102)))
    captain.post(LIST, {"do": "import", "list": kept(look_at)})
    asked = address.format(pack=world.packs["caster"].pk)
    with django_assert_max_num_queries(12):
        assert captain.get(asked).status_code == 200
