"""What the league calculator takes and gives, for the OpenAPI schema."""

from __future__ import annotations

from matches.reckon.league.request import STATUSES
from matches.reckon.league.rules import MISSED, TIE_BREAKS
from matches.reckon.placings.scheme import DIRECTIONS

from .shapes import (
    FLAG,
    ID,
    POINTS,
    WEIGHT_UNIT,
    WHOLE,
    Shape,
    list_of,
    object_of,
    one_of,
    or_null,
)

_ENTRY = object_of(
    {"id": ID},
    {
        "points": or_null(POINTS),
        "weight": or_null(WHOLE),
        "place": or_null(POINTS),
        "status": one_of(STATUSES),
    },
)
RULES: dict[str, Shape] = {
    "points": {**one_of(DIRECTIONS), "description": "Whether the least or the most points win."},
    "drop_worst": or_null(WHOLE),
    "best_of": or_null({"type": "integer", "minimum": 1}),
    "minimum_rounds": or_null(WHOLE),
    "missed": {
        "oneOf": [one_of(MISSED), object_of({"points": POINTS})],
        "description": "What a round without an entry is worth.",
    },
    "tie_breaks": list_of(one_of(TIE_BREAKS)),
}
LEAGUE_REQUEST = object_of(
    {
        "rounds": list_of(
            object_of({"id": ID, "entries": list_of(_ENTRY)}, {"weight_unit": WEIGHT_UNIT})
        )
    },
    RULES,
)
_SCORE = object_of(
    {
        "round": ID,
        "status": one_of([*STATUSES, "missed"]),
        "points": or_null(POINTS),
        "place": or_null(POINTS),
        "weight": or_null(WHOLE),
        "counts": FLAG,
        "dropped": {
            **or_null(one_of(["missed", "points", "weight", "earlier"])),
            "description": "What made it worse than the rounds kept; null where it is not dropped.",
        },
    }
)
SEASON = object_of(
    {
        "rank": {
            **or_null({"type": "integer", "minimum": 1}),
            "description": "Null for who came to too few rounds.",
        },
        "id": ID,
        "total": POINTS,
        "behind": {
            **or_null(one_of(["points", *TIE_BREAKS, "equal"])),
            "description": "What sets this row behind the one above.",
        },
        "fished": WHOLE,
        "counted": WHOLE,
        "weights": list_of(object_of({"unit": WEIGHT_UNIT, "weight": WHOLE})),
        "rounds": list_of(_SCORE),
    }
)
LEAGUE_ANSWER = object_of({"table": list_of(SEASON)})
