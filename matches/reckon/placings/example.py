"""One request and its answer, for the API's description and its tests."""

from __future__ import annotations

from typing import Any, Final

PLACINGS_EXAMPLE: Final[dict[str, Any]] = {
    "weight_unit": "g",
    "scheme": "international",
    "sections": [
        {
            "id": "A",
            "size": None,
            "entries": [
                {"angler": "maud", "team": "alders", "weight": 4250, "status": "weighed"},
                {"angler": "idris", "team": "teals", "weight": 4250, "status": "weighed"},
                {"angler": "piers", "team": "larkmill", "weight": 0, "status": "weighed"},
            ],
        },
        {
            "id": "B",
            "size": None,
            "entries": [
                {"angler": "tamsin", "team": "alders", "weight": 1980, "status": "weighed"},
                {"angler": "odette", "team": "teals", "weight": 2310, "status": "retired"},
                {"angler": "wilf", "team": "larkmill", "weight": 0, "status": "absent"},
            ],
        },
    ],
    "team_tie_breaks": ["weight", "best_place", "best_weight"],
}

PLACINGS_EXAMPLE_ANSWER: Final[dict[str, Any]] = {
    "placings": [
        {
            "angler": "idris",
            "team": "teals",
            "section": "A",
            "weight": 4250,
            "place": "1.5",
            "points": "1.5",
        },
        {
            "angler": "maud",
            "team": "alders",
            "section": "A",
            "weight": 4250,
            "place": "1.5",
            "points": "1.5",
        },
        {
            "angler": "piers",
            "team": "larkmill",
            "section": "A",
            "weight": 0,
            "place": "3",
            "points": "3",
        },
        {
            "angler": "odette",
            "team": "teals",
            "section": "B",
            "weight": 2310,
            "place": "1",
            "points": "1",
        },
        {
            "angler": "tamsin",
            "team": "alders",
            "section": "B",
            "weight": 1980,
            "place": "2",
            "points": "2",
        },
        {
            "angler": "wilf",
            "team": "larkmill",
            "section": "B",
            "weight": 0,
            "place": "4",
            "points": "4",
        },
    ],
    "teams": [
        {"team": "teals", "points": "2.5", "weight": 6560, "counted": 2, "rank": 1},
        {"team": "alders", "points": "3.5", "weight": 6230, "counted": 2, "rank": 2},
        {"team": "larkmill", "points": "7", "weight": 0, "counted": 2, "rank": 3},
    ],
    "individuals": [
        {
            "angler": "odette",
            "team": "teals",
            "section": "B",
            "points": "1",
            "weight": 2310,
            "rank": 1,
        },
        {
            "angler": "idris",
            "team": "teals",
            "section": "A",
            "points": "1.5",
            "weight": 4250,
            "rank": 2,
        },
        {
            "angler": "maud",
            "team": "alders",
            "section": "A",
            "points": "1.5",
            "weight": 4250,
            "rank": 2,
        },
        {
            "angler": "tamsin",
            "team": "alders",
            "section": "B",
            "points": "2",
            "weight": 1980,
            "rank": 4,
        },
        {
            "angler": "piers",
            "team": "larkmill",
            "section": "A",
            "points": "3",
            "weight": 0,
            "rank": 5,
        },
        {
            "angler": "wilf",
            "team": "larkmill",
            "section": "B",
            "points": "4",
            "weight": 0,
            "rank": 6,
        },
    ],
}
