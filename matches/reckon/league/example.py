"""One request and its answer, for the API's description and its tests."""

from __future__ import annotations

from typing import Any, Final

LEAGUE_EXAMPLE: Final[dict[str, Any]] = {
    "points": "low",
    "drop_worst": 1,
    "minimum_rounds": 2,
    "missed": "worst_plus_one",
    "tie_breaks": ["weight", "best_places", "last_round"],
    "rounds": [
        {
            "id": "1",
            "weight_unit": "g",
            "entries": [
                {"id": "maud", "points": "1", "weight": 6250, "place": "1", "status": "fished"},
                {"id": "perrin", "points": "2", "weight": 4250, "place": "2", "status": "fished"},
                {"id": "wilmot", "points": "3", "weight": 900, "place": "3", "status": "fished"},
            ],
        },
        {
            "id": "2",
            "weight_unit": "dr",
            "entries": [
                {"id": "maud", "points": "2", "weight": 1200, "place": "2", "status": "fished"},
                {"id": "perrin", "points": "1", "weight": 2500, "place": "1", "status": "fished"},
            ],
        },
        {
            "id": "3",
            "weight_unit": "g",
            "entries": [
                {"id": "maud", "points": "2", "weight": 3100, "place": "2", "status": "fished"},
                {"id": "perrin", "points": "3", "weight": 0, "place": "3", "status": "fished"},
                {"id": "wilmot", "points": "1", "weight": 5100, "place": "1", "status": "fished"},
            ],
        },
    ],
}

LEAGUE_EXAMPLE_ANSWER: Final[dict[str, Any]] = {
    "table": [
        {
            "rank": 1,
            "id": "maud",
            "total": "3",
            "behind": None,
            "fished": 3,
            "counted": 2,
            "weights": [{"unit": "g", "weight": 9350}],
            "rounds": [
                {
                    "round": "1",
                    "status": "fished",
                    "points": "1",
                    "place": "1",
                    "weight": 6250,
                    "counts": True,
                    "dropped": None,
                },
                {
                    "round": "2",
                    "status": "fished",
                    "points": "2",
                    "place": "2",
                    "weight": 1200,
                    "counts": False,
                    "dropped": "weight",
                },
                {
                    "round": "3",
                    "status": "fished",
                    "points": "2",
                    "place": "2",
                    "weight": 3100,
                    "counts": True,
                    "dropped": None,
                },
            ],
        },
        {
            "rank": 2,
            "id": "perrin",
            "total": "3",
            "behind": "weight",
            "fished": 3,
            "counted": 2,
            "weights": [{"unit": "g", "weight": 4250}, {"unit": "dr", "weight": 2500}],
            "rounds": [
                {
                    "round": "1",
                    "status": "fished",
                    "points": "2",
                    "place": "2",
                    "weight": 4250,
                    "counts": True,
                    "dropped": None,
                },
                {
                    "round": "2",
                    "status": "fished",
                    "points": "1",
                    "place": "1",
                    "weight": 2500,
                    "counts": True,
                    "dropped": None,
                },
                {
                    "round": "3",
                    "status": "fished",
                    "points": "3",
                    "place": "3",
                    "weight": 0,
                    "counts": False,
                    "dropped": "points",
                },
            ],
        },
        {
            "rank": 3,
            "id": "wilmot",
            "total": "4",
            "behind": "points",
            "fished": 2,
            "counted": 2,
            "weights": [{"unit": "g", "weight": 6000}],
            "rounds": [
                {
                    "round": "1",
                    "status": "fished",
                    "points": "3",
                    "place": "3",
                    "weight": 900,
                    "counts": True,
                    "dropped": None,
                },
                {
                    "round": "2",
                    "status": "missed",
                    "points": "3",
                    "place": None,
                    "weight": None,
                    "counts": False,
                    "dropped": "missed",
                },
                {
                    "round": "3",
                    "status": "fished",
                    "points": "1",
                    "place": "1",
                    "weight": 5100,
                    "counts": True,
                    "dropped": None,
                },
            ],
        },
    ]
}
