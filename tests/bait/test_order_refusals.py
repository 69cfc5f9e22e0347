"""Every bad order request is refused with a pointer to what is wrong."""

from __future__ import annotations

import copy
from typing import Any

import pytest

from bait.reckon.order import ORDER_EXAMPLE, order_parse
from matches.reckon.errors import BadInput

GONE = object()


def changed(path: tuple[str | int, ...], value: object) -> dict[str, Any]:
    raw: Any = copy.deepcopy(ORDER_EXAMPLE)
    spot = raw
    for step in path[:-1]:
        spot = spot[step]
    if value is GONE:
        del spot[path[-1]]
    else:
        spot[path[-1]] = value
    return raw


def pointers(raw: object) -> list[str]:
    with pytest.raises(BadInput) as refused:
        order_parse(raw)
    assert all(fault.message.endswith((".", '"')) for fault in refused.value.faults)
    return [fault.pointer for fault in refused.value.faults]


@pytest.mark.parametrize("raw", [None, [], "order", 3, True])
def test_what_is_no_object_is_refused_whole(raw: object) -> None:
    assert pointers(raw)[0] == ""


@pytest.mark.parametrize(
    ("path", "value"),
    [
        (("demands",), GONE),
        (("suppliers",), GONE),
        (("packs",), GONE),
        (("demands",), {}),
        (("extra",), 1),
        (("a/b",), 1),
        (("currency",), "gbp"),
        (("currency",), None),
        (("compare_alone",), 1),
        (("compare_alone",), None),
        (("demands", 0, "member"), ""),
        (("demands", 0, "member"), None),
        (("demands", 0, "member"), GONE),
        (("demands", 0, "bait"), 7),
        (("demands", 0, "amount"), "-1"),
        (("demands", 0, "amount"), 2.5),
        (("demands", 0, "amount"), "NaN"),
        (("demands", 0, "amount"), "1e3"),
        (("demands", 0, "amount"), "100001"),
        (("demands", 0, "amount"), GONE),
        (("demands", 0, "unit"), "gallon"),
        (("demands", 0, "unit"), GONE),
        (("demands", 0, "note"), "x"),
        (("demands", 0), 1),
        (("stock", 0, "amount"), "-0.5"),
        (("stock", 0, "unit"), "kg"),
        (("stock", 0, "member"), 4),
        (("stock", 0, "lot"), 4),
        (("stock",), "none"),
        (("suppliers", 0, "id"), ""),
        (("suppliers", 0, "delivery_fee"), "-4.00"),
        (("suppliers", 0, "delivery_fee"), 4),
        (("suppliers", 0, "delivery_fee"), "4.001"),
        (("suppliers", 0, "minimum_spend"), "100000.01"),
        (("suppliers", 0, "free_delivery_from"), "free"),
        (("suppliers", 0, "name"), "x"),
        (("packs", 0, "id"), GONE),
        (("packs", 0, "supplier"), "s9"),
        (("packs", 0, "bait"), GONE),
        (("packs", 0, "amount"), "0"),
        (("packs", 0, "amount"), "0.0001"),
        (("packs", 0, "unit"), "kg"),
        (("packs", 0, "unit"), "each"),
        (("packs", 0, "price"), "10000.01"),
        (("packs", 0, "price"), "-0.01"),
        (("packs", 0, "price"), GONE),
        (("packs", 0, "max_packs"), -1),
        (("packs", 0, "max_packs"), 1.5),
        (("packs", 0, "max_packs"), True),
        (("packs", 0, "max_packs"), "3"),
        (("packs", 0, "breaks"), {}),
        (("packs", 0, "breaks", 0, "from_packs"), 1),
        (("packs", 0, "breaks", 0, "from_packs"), GONE),
        (("packs", 0, "breaks", 0, "price"), "4.21"),
        (("packs", 0, "breaks", 0, "price"), GONE),
        (("packs", 0, "breaks", 0, "from"), 2),
    ],
)
def test_each_fault_is_pointed_at(path: tuple[str | int, ...], value: object) -> None:
    place = "/" + "/".join(str(step).replace("~", "~0").replace("/", "~1") for step in path)
    assert pointers(changed(path, value)) == [place]


def test_breaks_out_of_order_are_refused() -> None:
    breaks = [{"from_packs": 10, "price": "3.80"}, {"from_packs": 10, "price": "3.70"}]
    assert pointers(changed(("packs", 0, "breaks"), breaks)) == ["/packs/0/breaks/1/from_packs"]


@pytest.mark.parametrize(
    ("key", "place"), [("suppliers", "/suppliers/1/id"), ("packs", "/packs/1/id")]
)
def test_an_id_given_twice_is_refused(key: str, place: str) -> None:
    raw = copy.deepcopy(ORDER_EXAMPLE)
    raw[key].append(raw[key][0])
    assert pointers(raw) == [place]


def test_a_bait_described_twice_is_refused() -> None:
    baits = [{"id": "caster", "bulk_density_kg_per_l": "0.58"}] * 2
    assert pointers(changed(("baits",), baits)) == ["/baits/1/id"]


@pytest.mark.parametrize("density", ["0", "-1", "26", 0.58, "0.00001"])
def test_an_impossible_density_is_refused(density: object) -> None:
    baits = [{"id": "caster", "bulk_density_kg_per_l": density}]
    assert pointers(changed(("baits",), baits)) == ["/baits/0/bulk_density_kg_per_l"]


def test_all_faults_are_told_at_once() -> None:
    raw = changed(("demands", 1, "amount"), "lots")
    raw["packs"][0]["price"] = 4.2
    raw["currency"] = "pounds"
    assert sorted(pointers(raw)) == ["/currency", "/demands/1/amount", "/packs/0/price"]


def test_too_many_entries_are_refused() -> None:
    raw = changed(("suppliers",), [{"id": f"s{n}"} for n in range(51)])
    assert pointers(raw)[0] == "/suppliers"
