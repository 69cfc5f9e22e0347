"""One request and its answer, for the API's description and its tests."""

from __future__ import annotations

from typing import Any, Final

PAYOUTS_EXAMPLE: Final[dict[str, Any]] = {
    "currency": "GBP",
    "pool": "200.00",
    "weight_unit": "g",
    "frame": [{"place": 1, "amount": "60.00"}, {"place": 2, "percent": "20"}],
    "sections": {"amount_each": "20.00", "by_default": True},
    "entries": [
        {"angler": "maud", "section": "A", "weight": 6250},
        {"angler": "idris", "section": "A", "weight": 4250},
        {"angler": "tamsin", "section": "B", "weight": 5100},
        {"angler": "odette", "section": "B", "weight": 2310},
        {"angler": "piers", "section": "B", "weight": 2310},
        {"angler": "wilf", "section": "C", "weight": 0},
    ],
}

PAYOUTS_EXAMPLE_ANSWER: Final[dict[str, Any]] = {
    "payments": [
        {"angler": "maud", "for": "frame", "amount": "60.00"},
        {"angler": "tamsin", "for": "frame", "amount": "40.00"},
        {"angler": "idris", "for": "section", "amount": "20.00"},
        {"angler": "odette", "for": "section", "amount": "10.00"},
        {"angler": "piers", "for": "section", "amount": "10.00"},
    ],
    "totals": [
        {"angler": "idris", "amount": "20.00"},
        {"angler": "maud", "amount": "60.00"},
        {"angler": "odette", "amount": "10.00"},
        {"angler": "piers", "amount": "10.00"},
        {"angler": "tamsin", "amount": "40.00"},
    ],
    "paid": "140.00",
    "unallocated": "60.00",
}
