"""One order as an example: two members, a pint in the larder, one shop, one pack."""

from __future__ import annotations

from typing import Any, Final

ORDER_EXAMPLE: Final[dict[str, Any]] = {
    "currency": "GBP",
    "demands": [
        {"member": "m1", "bait": "caster", "amount": "2.5", "unit": "pint"},
        {"member": "m2", "bait": "caster", "amount": "7", "unit": "pint"},
    ],
    "stock": [{"bait": "caster", "amount": "1", "unit": "pint", "member": None}],
    "suppliers": [
        {
            "id": "s1",
            "delivery_fee": "4.00",
            "minimum_spend": "20.00",
            "free_delivery_from": "60.00",
        }
    ],
    "packs": [
        {
            "id": "p1",
            "supplier": "s1",
            "bait": "caster",
            "amount": "1",
            "unit": "pint",
            "price": "4.20",
            "breaks": [{"from_packs": 10, "price": "3.80"}],
            "max_packs": None,
        }
    ],
}
ORDER_EXAMPLE_ANSWER: Final[dict[str, Any]] = {
    "status": "optimal",
    "total": "41.80",
    "goods": "37.80",
    "delivery": "4.00",
    "lines": [
        {
            "pack": "p1",
            "supplier": "s1",
            "bait": "caster",
            "packs": 9,
            "unit_price": "4.20",
            "cost": "37.80",
        }
    ],
    "left_over": [{"bait": "caster", "amount": "0.5", "unit": "pint"}],
    "short": [],
    "shares": [
        {"member": "m1", "due": "11.00", "alone": "25.00", "saving": "14.00"},
        {"member": "m2", "due": "30.80", "alone": "33.40", "saving": "2.60"},
    ],
    "proof": {"lower_bound": "41.80", "gap": "0.00"},
}
