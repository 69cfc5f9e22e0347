"""The page of reasons, over HTTP and in the API, as each role meets it."""

from __future__ import annotations

from decimal import Decimal
from typing import Any

import pytest
from django.utils import translation

from bait.models import Bait, Pack, PackBreak, Shop
from bait.reads.explanations import Names, PackNamed
from bait.writes.explanations import explanation_ask, explanation_make
from bait.writes.orders import order_ask, order_version_make
from matches.models import WorkRequest
from tests.clients import signed_in
from tests.ordered import planned, worked_out
from web.why_words import WhyWords, pence


@pytest.fixture
def address(world: Any) -> str:
    return f"/desk/teams/{world.alders.pk}/matches/{world.match.pk}/order/why/"


@pytest.fixture
def api(world: Any) -> str:
    return f"/api/v1/teams/{world.alders.pk}/matches/{world.match.pk}/order/why"


@pytest.fixture
def ordered(world: Any) -> Any:
    """Two shops sell caster; the order is worked out."""
    reel = Shop.objects.create(club=world.club, key="reel", name="Reel & Riddle", lead_days=3)
    caster = world.baits["caster"]
    Pack.objects.create(shop=reel, bait=caster, key="c", amount=1, unit="pint", price_pence=450)
    planned(world, "Wilmot", caster="7")
    return worked_out(world).order


def explained(world: Any, order: Any) -> None:
    work = explanation_ask(world.captain, version=order.current)
    assert explanation_make(work.pk) is not None


def test_before_an_order_the_page_says_what_to_do(world: Any, address: str, api: str) -> None:
    client = signed_in(world.captain)
    assert "work out the order first" in client.get(address).content.decode()
    assert client.post(address).status_code == 404
    assert client.post(api).status_code == 404
    assert client.get(api).json()["version"] is None


def test_asking_shows_progress_and_then_the_reasons(
    world: Any, ordered: Any, address: str, api: str
) -> None:
    client = signed_in(world.captain)
    assert "Work out the reasons" in client.get(address).content.decode()
    assert client.post(address).headers["Location"] == f"{address}?version=1"
    waiting = client.get(address).content.decode()
    assert 'id="work"' in waiting and f'data-work="{api}?version=1"' in waiting
    assert client.get(api).json()["state"] == "waiting"
    explanation_make(WorkRequest.objects.get(kind="bait.tasks.order_explain").pk)
    shown = client.get(address).content.decode()
    assert 'id="work"' not in shown and "Work out the re" not in shown
    for words in ("Ways to buy, side by side", "Only Reel &amp; Riddle", "One more, one less"):
        assert words in shown
    body = client.get(api).json()
    assert (body["state"], body["explanation"]["left_out"]) == ("done", [])
    assert [way["kind"] for way in body["explanation"]["alternatives"]] == [
        "cheapest",
        "only",
        "only",
        "soonest",
    ]


def test_a_version_of_no_order_is_not_found(world: Any, ordered: Any, address: str) -> None:
    client = signed_in(world.captain)
    assert client.get(f"{address}?version=9").status_code == 404
    assert client.post(address, {"version": "9"}).status_code == 404


def test_an_older_version_says_so_and_leads_to_the_newer(
    world: Any, ordered: Any, address: str
) -> None:
    explained(world, ordered)
    PackBreak.objects.all().delete()
    order_version_make(order_ask(world.captain, team=world.alders, match=world.match)[1].pk)
    client = signed_in(world.captain)
    old = client.get(f"{address}?version=1").content.decode()
    assert "The reasons here are those of version 1." in old and "Go to version 2" in old
    assert "Work out the reasons" in client.get(address).content.decode()


def test_what_time_did_not_allow_is_listed_with_a_way_on(
    world: Any, ordered: Any, address: str
) -> None:
    work = explanation_ask(world.captain, version=ordered.current)
    explanation_make(work.pk, time_limit_s=0)
    page = signed_in(world.captain).get(address).content.decode()
    assert "the least order itself" in page and "Work out the rest" in page


def test_the_page_asks_the_same_few_questions(
    world: Any, ordered: Any, address: str, django_assert_max_num_queries: Any
) -> None:
    explained(world, ordered)
    client = signed_in(world.captain)
    with django_assert_max_num_queries(12):
        client.get(address)


# Sentences --------------------------------------------------------------------------------------


@pytest.fixture
def words() -> WhyWords:
    packs = {
        "p": PackNamed("Hobday's Hut", "Caster", "1", "pint"),
        "q": PackNamed("Reel & Riddle", "Caster", "2", "pint"),
    }
    baits = {
        "caster": Bait(key="caster", name="Caster", unit="pint"),
        "mix": Bait(key="mix", name="Mix", unit="L", bulk_density_kg_per_l=Decimal("0.5")),
    }
    return WhyWords(Names(baits, {}, packs), currency="GBP")


def line(packs: int, unit_price: int, **more: Any) -> dict[str, Any]:
    cost = packs * unit_price
    return {
        "pack": "p",
        "packs": packs,
        "cost": f"{cost // 100}.{cost % 100:02d}",
        "bought": 0,
        "reached": None,
        "ahead": None,
        "without": None,
        **more,
    }


def step(price: str, cost: str, last: str, pays: int) -> dict[str, Any]:
    return {
        "from_packs": 10,
        "price": price,
        "price_before": "4.20",
        "cost": cost,
        "cost_one_fewer": "37.80",
        "last_costs": last,
        "pays_from": pays,
    }


def order(difference: str | None, **more: Any) -> dict[str, Any]:
    return {
        "difference": difference,
        "delivery_difference": "0.00",
        "missing": [],
        "gained": [],
        "changes": [],
        **more,
    }


def test_the_last_pack_is_said_to_cost_little_nothing_or_less(words: WhyWords) -> None:
    assert words.line_name(line(10, 380)) == "10 × Caster, 1 pint, Hobday's Hut"
    assert words.line_words(line(10, 380, reached=step("3.80", "38.00", "0.20", 10))) == [
        "From 10 on each costs £3.80, so the last one costs only £0.20: 9 would be £37.80, 10 are "
        "£38.00."
    ]
    assert words.line_words(line(10, 378, reached=step("3.78", "37.80", "0.00", 10))) == [
        "From 10 on each costs £3.78, so the last one costs nothing: 9 would be £37.80, and so "
        "are 10."
    ]
    assert words.line_words(line(10, 370, reached=step("3.70", "37.00", "-0.80", 9))) == [
        "From 10 on each costs £3.70, so the last one costs less than nothing: 9 would be £37.80, "
        "10 are £37.00."
    ]
    assert words.line_words(line(12, 370, reached=step("3.70", "37.00", "-0.80", 9))) == [
        "From 10 on each costs £3.70 instead of £4.20: 12 are £44.40 where they would have been "
        "£50.40."
    ]


def test_a_break_not_taken_says_what_it_would_cost(words: WhyWords) -> None:
    assert words.line_words(line(9, 420, ahead=step("3.80", "38.00", "0.20", 10))) == [
        "From 10 on each would cost £3.80, but 10 are £38.00: £0.20 more than these 9. Taken by "
        "itself, going up pays once 10 are needed."
    ]


def test_without_a_pack_the_other_way_is_named(words: WhyWords) -> None:
    changes = [{"pack": "p", "before": 2, "after": 0}, {"pack": "q", "before": 1, "after": 3}]
    assert words.line_words(line(2, 420, without=order("0.40", changes=changes))) == [
        "Without it the order costs £0.40 more. Then: 3 × Caster, 2 pints, Reel & Riddle instead "
        "of 1; no Caster, 1 pint, Hobday's Hut."
    ]
    cheaper = order("0.40", changes=changes[1:], delivery_difference="-4.00")
    assert words.line_words(line(2, 420, without=cheaper)) == [
        "Without it the order costs £0.40 more. Then: 3 × Caster, 2 pints, Reel & Riddle instead "
        "of 1; £4.00 less for delivery."
    ]
    missing = [{"bait": "caster", "amount": "2.5", "unit": "pint"}]
    assert words.line_words(line(2, 420, without=order(None, missing=missing))) == [
        "Without it there is not enough to be had: 2.5 pints of Caster would be missing."
    ]


def left(**amounts: str) -> list[dict[str, str]]:
    units = {"caster": "pint", "mix": "kg"}
    return [{"bait": bait, "amount": said, "unit": units[bait]} for bait, said in amounts.items()]


def test_left_overs_are_said_in_the_baits_own_unit_and_then_only_what_differs(
    words: WhyWords,
) -> None:
    first = left(caster="0.5", mix="0.33333")
    assert words.left_over(first) == ["0.5 pints of Caster", "0.66 L of Mix"]
    assert words.left_over_beside(first, other=first) == []
    assert words.left_over_beside(left(mix="1"), other=first) == ["2 L of Mix", "no Caster"]
    assert words.left_over(left(caster="0.004")) == []


def test_in_french_amounts_have_a_decimal_comma_and_units_agree(words: WhyWords) -> None:
    rows = left(caster="0.5", mix="0.33333")
    with translation.override("fr"):
        assert words.left_over(rows) == ["0,5 pinte de Caster", "0,66 L de Mix"]
        assert words.amounts(rows) == "0,5 pinte de Caster, 0,34 kg de Mix"


def test_a_minimum_is_said_in_money(words: WhyWords) -> None:
    shop = {
        "goods": "20.00",
        "delivery": "0.00",
        "minimum_spend": "20.00",
        "free_delivery_from": None,
        "dropped": None,
        "without_minimum": order("-4.00"),
        "without_free_delivery": None,
    }
    assert words.shop_words(shop) == [
        "Its minimum spend of £20.00 costs £4.00: so much cheaper would the order be without it."
    ]
    assert words.shop_words({**shop, "without_minimum": order("0.00")}) == [
        "Its minimum spend of £20.00 costs nothing."
    ]


def test_left_out_figures_are_named_by_their_sort(words: WhyWords) -> None:
    figures = [
        {"figure": "one_more", "of": "caster"},
        {"figure": "without", "of": "p"},
        {"figure": "without", "of": "q"},
        {"figure": "soonest", "of": ""},
    ]
    assert words.left_out(figures) == [
        "one more of: Caster",
        "the order without a pack: Caster, 1 pint, Hobday's Hut; Caster, 2 pints, Reel & Riddle",
        "the order that is ready soonest",
    ]


def test_pence_are_read_below_zero_too() -> None:
    assert [pence(text) for text in ("4.20", "-0.80", "0.00", "-12.05")] == [420, -80, 0, -1205]
