"""A long line and a short one in mid-match, for the API's description."""

from __future__ import annotations

from typing import Any, Final

LINES_EXAMPLE: Final[dict[str, Any]] = {
    "lines": [
        {"name": "long", "minutes": "40", "fish": 12, "weight_g": 1800},
        {"name": "short", "minutes": "25", "fish": 14, "weight_g": 900},
    ],
    "prior": {"fish": "1", "minutes": "5"},
    "minutes_left": "120",
    "target_g": 15000,
}

LINES_EXAMPLE_ANSWER: Final[dict[str, Any]] = {
    "lines": [
        {
            "name": "long",
            "fish_per_hour": 17.333333333333332,
            "fish_per_hour_90": [10.252771055507814, 25.923425773220035],
            "grams_per_hour": 2600.0,
            "best": 0.7787829943666102,
        },
        {
            "name": "short",
            "fish_per_hour": 30.0,
            "fish_per_hour_90": [18.49266098195347, 43.77297182574219],
            "grams_per_hour": 1928.5714285714287,
            "best": 0.22121700563338975,
        },
    ],
    "pace": {"grams_per_hour_needed": 6150.0},
}
