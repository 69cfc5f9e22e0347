"""What the calculator of lines takes and gives, for the OpenAPI schema; its own parser decides."""

from __future__ import annotations

from bait.reckon.lines.parse import MOST_GRAMS, MOST_LINES

from .shapes import AMOUNT, ID, NUMBER, WHOLE, list_of, object_of, or_null

_GRAMS = {**WHOLE, "maximum": MOST_GRAMS}
_LINE = object_of({"name": ID, "minutes": AMOUNT, "fish": WHOLE, "weight_g": _GRAMS})

LINES_REQUEST = object_of(
    {
        "lines": {**list_of(_LINE), "minItems": 1, "maxItems": MOST_LINES},
        "prior": object_of(
            {"fish": AMOUNT, "minutes": AMOUNT},
            about="What is believed of any line before it is fished, as so many fish in a time.",
        ),
    },
    {"minutes_left": AMOUNT, "target_g": _GRAMS},
)

_SHOWN = object_of(
    {
        "name": ID,
        "fish_per_hour": NUMBER,
        "fish_per_hour_90": {
            **list_of(NUMBER),
            "minItems": 2,
            "maxItems": 2,
            "description": "Nine times in ten the line's own rate lies between these.",
        },
        "grams_per_hour": or_null(NUMBER),
        "best": {
            **NUMBER,
            "description": "Probability to be the best in grams an hour; in fish an hour where "
            "nothing is weighed.",
        },
    }
)

LINES_ANSWER = object_of(
    {
        "lines": list_of(_SHOWN),
        "pace": object_of(
            {"grams_per_hour_needed": or_null(NUMBER)},
            about="0 once the target is reached; null where no time is left or none was asked.",
        ),
    }
)
