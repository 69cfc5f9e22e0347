"""Seven litres of dry mix with soil, ten balls loaded with hemp, for the API's description."""

from __future__ import annotations

from typing import Any, Final

MIX_EXAMPLE: Final[dict[str, Any]] = {
    "dry": [{"name": "base", "amount": "7", "unit": "L"}],
    "water_per_dry": 0.45,
    "soil": {"amount": "3", "unit": "L"},
    "swell": 1.0,
    "squeeze": 0.70,
    "ball_diameter_m": 0.08,
    "balls": 10,
    "load": [{"name": "hemp", "amount": "1.2", "unit": "L", "size_m": 0.0035}],
    "packing": 0.60,
    "film_m": 0.0004,
    "limits": {
        "groundbait": {"amount": "20", "unit": "L"},
        "bait": {"amount": "2.5", "unit": "L"},
    },
}

MIX_EXAMPLE_ANSWER: Final[dict[str, Any]] = {
    "dry_l": 7.0,
    "water_l": 3.15,
    "ready_l": 10.0,
    "ball_l": 0.26808257310632905,
    "load_fraction": 0.26857396646757337,
    "load_fraction_max": 0.34512684417724226,
    "holds": True,
    "load_max_l": 1.5420415405850363,
    "balls_possible": 35,
    "ready_left_l": 7.1988203841953,
    "limits": {
        "groundbait": {"amount_l": 10.0, "allowed_l": 20.0, "within": True, "over_l": 0.0},
        "bait": {"amount_l": 1.2, "allowed_l": 2.5, "within": True, "over_l": 0.0},
    },
}
