"""What the mix calculator takes and gives, for the OpenAPI schema; its own parser decides."""

from __future__ import annotations

from bait.reckon.mix.parse import RANGES

from .shapes import (
    AMOUNT,
    FLAG,
    ID,
    NUMBER,
    UNIT,
    WHOLE,
    Shape,
    list_of,
    number_of,
    object_of,
    or_null,
)

_DENSITY: dict[str, Shape] = {"bulk_density_kg_per_l": or_null(AMOUNT)}
_AMOUNT: dict[str, Shape] = {"amount": AMOUNT, "unit": UNIT}
_ABOUT = {
    "water_per_dry": "Litres of water for a litre of dry mix. Left out: 0.45, from memory.",
    "swell": "Litres loose and ready from a litre dry. Left out: 1, from memory.",
    "squeeze": "Litres of ball from a litre loose. Left out: 0.7, from memory.",
    "packing": "Solid part of loose particles. Left out: 0.6, from memory.",
    "film_m": "The coat of mix round each particle, in metres. Left out: 0.0004, from memory.",
    "ball_diameter_m": "Metres.",
    "size_m": "Metres across one of them. Sizes are mixed by volume.",
}
_NUMBERS = {name: number_of(*RANGES[name], about=_ABOUT[name]) for name in RANGES}
_SIZE = {"size_m": _NUMBERS.pop("size_m")}
_BALL = {"ball_diameter_m": _NUMBERS.pop("ball_diameter_m")}
_TEST = object_of(
    {},
    {"load_l_per_ball": number_of("0.000001", "1000"), **_SIZE, "loose_l_per_ball": NUMBER},
    about="The most loose load a ball took and stayed whole, with its size; or the loose mix that "
    "a ball without load took; or both. What is measured stands in for a film_m or squeeze left "
    "out. Without dry, only the test is worked out.",
)
MIX_REQUEST = object_of(
    _BALL,
    {
        "dry": list_of(object_of({"name": ID, **_AMOUNT}, _DENSITY)),
        "balls": {**WHOLE, "description": "Needed with dry."},
        "soil": or_null(object_of(_AMOUNT, _DENSITY)),
        "load": list_of(object_of({"name": ID, **_AMOUNT, **_SIZE}, _DENSITY)),
        "limits": or_null(
            object_of(
                {},
                {
                    "groundbait": or_null(object_of(_AMOUNT, _DENSITY)),
                    "bait": or_null(object_of(_AMOUNT, _DENSITY)),
                },
            )
        ),
        "squeeze_test": or_null(_TEST),
        **_NUMBERS,
    },
)
_LIMIT = object_of({"amount_l": NUMBER, "allowed_l": NUMBER, "within": FLAG, "over_l": NUMBER})
MIX_ANSWER = object_of(
    {},
    {
        "dry_l": NUMBER,
        "water_l": NUMBER,
        "ready_l": NUMBER,
        "ball_l": NUMBER,
        "load_fraction": NUMBER,
        "load_fraction_max": {
            **or_null(NUMBER),
            "description": "Null where nothing says how large the particles are.",
        },
        "holds": FLAG,
        "load_max_l": or_null(NUMBER),
        "balls_possible": {
            **WHOLE,
            "description": "Out of all the mix, each with its part of the load. 0 where the load "
            "leaves no room for mix.",
        },
        "ready_left_l": {
            **NUMBER,
            "description": "After the balls asked for; below zero, so much is missing.",
        },
        "limits": object_of({}, {"groundbait": _LIMIT, "bait": _LIMIT}),
        "film_m": {**NUMBER, "description": "What the squeeze test measured."},
        "squeeze": {**NUMBER, "description": "What the squeeze test measured."},
        "assumed": {
            "type": "object",
            "description": "Properties nobody gave and the defaults taken for them.",
            "additionalProperties": NUMBER,
        },
    },
)
