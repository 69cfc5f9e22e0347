"""The least-cost order: what it means, penny for penny and pack for pack."""

from __future__ import annotations

import json
import random
from pathlib import Path
from typing import Any

import pytest

from bait.reckon.order import (
    ORDER_EXAMPLE,
    ORDER_EXAMPLE_ANSWER,
    order_parse,
    order_work_out,
)

CASES = json.loads((Path(__file__).parents[1] / "cases" / "order.json").read_text(encoding="utf-8"))


def answer(raw: dict[str, Any]) -> dict[str, Any]:
    found: dict[str, Any] = order_work_out(order_parse(raw)).as_json()
    return found


def packs_bought(raw: dict[str, Any]) -> dict[str, int]:
    return {line["pack"]: line["packs"] for line in answer(raw)["lines"]}


def demand(amount: str, *, member: str = "m1", bait: str = "hemp", unit: str = "pint") -> Any:
    return {"member": member, "bait": bait, "amount": amount, "unit": unit}


def pack(name: str, price: str, **more: Any) -> Any:
    line = {"id": name, "supplier": "s1", "bait": "hemp", "amount": "1", "unit": "pint"}
    return line | {"price": price} | more


def shop(name: str = "s1", **terms: str) -> Any:
    return {"id": name} | terms


def order(demands: list[Any], suppliers: list[Any], packs: list[Any], **more: Any) -> Any:
    return {"demands": demands, "suppliers": suppliers, "packs": packs} | more


@pytest.mark.parametrize("case", CASES, ids=[case["why"] for case in CASES])
def test_shared_case(case: dict[str, Any]) -> None:
    assert answer(case["input"]) == case["output"]


def test_the_example_gives_its_answer() -> None:
    assert answer(ORDER_EXAMPLE) == ORDER_EXAMPLE_ANSWER


def test_nothing_asked_for_costs_nothing() -> None:
    found = answer(order([], [shop()], [pack("p1", "4.20")]))
    assert (found["status"], found["total"], found["lines"], found["shares"]) == (
        "optimal",
        "0.00",
        [],
        [],
    )


def test_a_break_is_bought_into_when_that_is_cheaper() -> None:
    line = pack("p1", "4.20", breaks=[{"from_packs": 10, "price": "3.70"}])
    found = answer(order([demand("9")], [shop()], [line]))
    assert (found["total"], found["lines"][0]["packs"]) == ("37.00", 10)
    assert found["left_over"] == [{"bait": "hemp", "amount": "1", "unit": "pint"}]


def test_a_minimum_is_filled_up_with_the_cheapest_filler() -> None:
    packs = [pack("p1", "4.00"), pack("p2", "0.30", amount="0.05")]
    found = answer(order([demand("2")], [shop(minimum_spend="9.00")], packs))
    assert found["total"] == "9.20"
    assert {line["pack"]: line["packs"] for line in found["lines"]} == {"p1": 2, "p2": 4}


def test_free_delivery_is_reached_when_that_is_cheaper() -> None:
    terms = shop(delivery_fee="5.00", free_delivery_from="12.00")
    found = answer(order([demand("2")], [terms], [pack("p1", "4.00")]))
    assert (found["total"], found["delivery"], found["lines"][0]["packs"]) == ("12.00", "0.00", 3)


def test_nothing_nobody_asked_for_is_bought_even_as_filler() -> None:
    packs = [pack("p1", "4.00"), pack("p2", "0.01", bait="pinkie")]
    found = answer(order([demand("2")], [shop(minimum_spend="9.00")], packs))
    assert {line["pack"]: line["packs"] for line in found["lines"]} == {"p1": 3}


def test_own_stock_serves_its_owner_alone() -> None:
    stock = [{"bait": "hemp", "amount": "5", "unit": "pint", "member": "m1"}]
    demands = [demand("2"), demand("3", member="m2")]
    found = answer(order(demands, [shop()], [pack("p1", "4.00")], stock=stock))
    assert found["total"] == "12.00"
    assert [(s["member"], s["due"]) for s in found["shares"]] == [("m1", "0.00"), ("m2", "12.00")]


def test_team_stock_benefits_all_in_proportion() -> None:
    stock = [{"bait": "hemp", "amount": "3", "unit": "pint", "member": None}]
    demands = [demand("2"), demand("4", member="m2")]
    found = answer(order(demands, [shop()], [pack("p1", "4.00")], stock=stock))
    assert [(s["member"], s["due"]) for s in found["shares"]] == [("m1", "4.00"), ("m2", "8.00")]


def test_pounds_are_bought_for_pints_with_a_density() -> None:
    packs = [pack("p1", "3.00", amount="1", unit="kg")]
    baits = [{"id": "hemp", "bulk_density_kg_per_l": "0.8"}]
    found = answer(order([demand("2", unit="L")], [shop()], packs, baits=baits))
    assert found["lines"][0]["packs"] == 2
    assert found["left_over"] == [{"bait": "hemp", "amount": "0.5", "unit": "L"}]


def test_left_over_is_exact_where_pints_cannot_hold_it() -> None:
    packs = [pack("p1", "3.00", amount="1", unit="L")]
    found = answer(order([demand("1")], [shop()], packs))
    assert found["left_over"] == [{"bait": "hemp", "amount": "0.43173875", "unit": "L"}]


def test_one_hundred_pints_in_litres_are_not_one_pack_short() -> None:
    # 100 pints are 56.826125 L exactly: 56.8261 L would not do.
    packs = [pack("p1", "3.00", amount="56.8261", unit="L")]
    assert packs_bought(order([demand("100")], [shop()], packs)) == {"p1": 2}


def test_equal_totals_take_fewest_suppliers_then_packs_then_smallest_list() -> None:
    suppliers = [shop(), shop("s2")]
    packs = [
        pack("p1", "4.00", supplier="s1"),
        pack("p2", "8.00", supplier="s1", amount="2"),
        pack("p3", "4.00", supplier="s2", bait="pinkie"),
        pack("p4", "4.00", supplier="s1", bait="pinkie"),
        pack("p5", "4.00", supplier="s1", bait="pinkie"),
    ]
    demands = [demand("2"), demand("1", bait="pinkie")]
    assert packs_bought(order(demands, suppliers, packs)) == {"p2": 1, "p4": 1}


def test_the_smallest_list_has_the_fewest_of_its_first_pack() -> None:
    packs = [pack("p1", "4.00"), pack("p2", "4.00"), pack("p3", "4.00")]
    assert packs_bought(order([demand("4")], [shop()], packs)) == {"p1": 1, "p2": 1, "p3": 2}


def test_ids_are_compared_as_text() -> None:
    packs = [pack("p10", "4.00"), pack("p9", "4.00")]
    assert packs_bought(order([demand("1")], [shop()], packs)) == {"p10": 1}


def test_what_nobody_sells_is_short_and_the_rest_is_ordered() -> None:
    found = answer(order([demand("2"), demand("1", bait="pinkie")], [shop()], [pack("p1", "4.00")]))
    assert (found["status"], found["total"]) == ("short", "8.00")
    assert found["short"] == [
        {"bait": "pinkie", "amount": "1", "unit": "pint", "why": "No supplier sells this bait."}
    ]
    assert found["shares"][0]["alone"] == "8.00"


def test_what_max_packs_holds_back_is_short() -> None:
    found = answer(order([demand("2.5")], [shop()], [pack("p1", "4.00", max_packs=2)]))
    assert (found["status"], found["total"]) == ("short", "8.00")
    assert (found["short"][0]["amount"], found["left_over"]) == ("0.5", [])
    assert "max_packs" in found["short"][0]["why"]


def test_a_minimum_out_of_reach_leaves_its_supplier_out() -> None:
    suppliers = [shop(minimum_spend="20.00")]
    found = answer(order([demand("2")], suppliers, [pack("p1", "4.00", max_packs=3)]))
    assert (found["status"], found["total"]) == ("short", "0.00")
    assert "minimum" in found["short"][0]["why"]
    assert found["shares"][0]["alone"] is None


def test_a_minimum_that_the_full_cover_misses_leaves_its_supplier_out() -> None:
    # Nine packs cost 36.00 and have the minimum, but cover too little; ten cost 30.00.
    line = pack("p1", "4.00", max_packs=10, breaks=[{"from_packs": 10, "price": "3.00"}])
    found = answer(order([demand("10")], [shop(minimum_spend="35.00")], [line]))
    assert (found["status"], found["total"]) == ("short", "0.00")


def test_a_pack_given_away_is_taken_but_not_hoarded() -> None:
    assert packs_bought(order([demand("2")], [shop()], [pack("p1", "0.00")])) == {"p1": 2}


def test_nobody_pays_more_than_alone_and_the_others_carry_it_by_saving() -> None:
    # Two thirds of 30.00 would be 20.00 for m2, who can have the same alone for 18.00.
    demands = [demand("1"), demand("2", member="m2")]
    packs = [
        pack("p1", "20.00", max_packs=1, amount="1"),
        pack("p2", "9.00", max_packs=2, amount="1"),
    ]
    found = answer(order(demands, [shop()], packs))
    assert found["total"] == "38.00"
    shares = {s["member"]: (s["due"], s["alone"], s["saving"]) for s in found["shares"]}
    assert shares == {"m1": ("12.67", "9.00", "-3.67"), "m2": ("25.33", "18.00", "-7.33")}


def test_without_comparison_there_is_no_alone_and_no_cap() -> None:
    found = answer(ORDER_EXAMPLE | {"compare_alone": False})
    assert found["total"] == "41.80"
    assert found["shares"] == [
        {"member": "m1", "due": "11.00", "alone": None, "saving": None},
        {"member": "m2", "due": "30.80", "alone": None, "saving": None},
    ]


def test_progress_never_falls_and_ends_at_a_hundred() -> None:
    seen: list[tuple[int, str]] = []
    order_work_out(
        order_parse(ORDER_EXAMPLE), progress=lambda percent, word: seen.append((percent, word))
    )
    percents = [percent for percent, _ in seen]
    assert percents == sorted(percents)
    assert (percents[0], percents[-1]) == (0, 100)
    assert [word for _, word in seen].count("comparing") == 2


@pytest.mark.parametrize("seed", range(5))
def test_the_order_of_lists_changes_nothing(seed: int) -> None:
    rng = random.Random(seed)
    for case in CASES:
        shuffled = dict(case["input"])
        for key in ("demands", "stock", "suppliers", "packs"):
            if key in shuffled:
                shuffled[key] = rng.sample(shuffled[key], len(shuffled[key]))
        assert answer(shuffled) == case["output"]
