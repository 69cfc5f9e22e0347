"""What the open calculators take and give, for the OpenAPI schema.

These describe; the calculators' own parsers decide. A test holds the examples and the recorded
cases against these shapes, so that they cannot drift apart.
"""

from __future__ import annotations

from matches.reckon.draw import MODES
from matches.reckon.placings.request import STATUSES, TIE_BREAKS
from matches.reckon.placings.scheme import ABSENTS, BLANKS, DIRECTIONS, TIES

from .shapes import (
    AMOUNT,
    COUNT,
    CURRENCY,
    FLAG,
    ID,
    MONEY,
    MONEY_SIGNED,
    POINTS,
    UNIT,
    WEIGHT_UNIT,
    WHOLE,
    Shape,
    list_of,
    object_of,
    one_of,
    or_null,
)

_SCHEME: Shape = {
    "oneOf": [
        one_of(["international"]),
        object_of(
            {},
            {
                "direction": one_of(DIRECTIONS),
                "ties": one_of(TIES),
                "blank": one_of(BLANKS),
                "absent": one_of(ABSENTS),
                "first": or_null(POINTS),
                "step": POINTS,
                "teams_ranked_without_singles": FLAG,
            },
        ),
    ]
}
_ENTRY = object_of(
    {"angler": ID},
    {
        "team": or_null(ID),
        "weight": or_null(WHOLE),
        "status": one_of(STATUSES),
        "score": or_null(WHOLE),
    },
)
PLACINGS_REQUEST = object_of(
    {
        "sections": list_of(
            object_of({"id": ID, "entries": list_of(_ENTRY)}, {"size": or_null(WHOLE)})
        )
    },
    {
        "weight_unit": WEIGHT_UNIT,
        "scheme": _SCHEME,
        "team_tie_breaks": list_of(one_of(TIE_BREAKS)),
        "teams_ranked_without_singles": FLAG,
    },
)
_PLACED: dict[str, Shape] = {"angler": ID, "team": or_null(ID), "section": ID}
PLACINGS_ANSWER = object_of(
    {
        "placings": list_of(
            object_of({**_PLACED, "weight": WHOLE, "place": POINTS, "points": POINTS})
        ),
        "teams": list_of(
            object_of(
                {"team": ID, "points": POINTS, "weight": WHOLE, "counted": WHOLE, "rank": COUNT}
            )
        ),
        "individuals": list_of(
            object_of({**_PLACED, "points": POINTS, "weight": WHOLE, "rank": COUNT})
        ),
    }
)

DRAW_REQUEST = object_of(
    {
        "seed": {
            "type": "string",
            "pattern": "^[0-9a-fA-F]{64}$",
            "description": "32 bytes in hexadecimal.",
        },
        "anglers": list_of(
            object_of(
                {"id": ID},
                {
                    "team": or_null(ID),
                    "needs_access": {**FLAG, "description": "Asks for an accessible peg."},
                },
            )
        ),
        "sections": list_of(
            object_of(
                {"id": ID, "pegs": list_of(ID)},
                {
                    "accessible": {
                        **list_of(ID),
                        "description": "Which of the pegs are accessible. Who asks for one draws "
                        "first among them, the others among what is left.",
                    }
                },
            )
        ),
        "mode": one_of(MODES),
    }
)
DRAW_ANSWER = object_of(
    {
        "commitment": {"type": "string", "pattern": "^[0-9a-f]{64}$"},
        "assignments": list_of(object_of({"angler": ID, "section": ID, "peg": ID})),
    }
)

_PRIZE = object_of({"place": COUNT}, {"amount": or_null(MONEY), "percent": or_null(AMOUNT)})
PAYOUTS_REQUEST = object_of(
    {
        "pool": MONEY,
        "entries": list_of(object_of({"angler": ID, "weight": WHOLE}, {"section": or_null(ID)})),
    },
    {
        "currency": CURRENCY,
        "weight_unit": WEIGHT_UNIT,
        "frame": list_of(_PRIZE),
        "sections": or_null(object_of({"amount_each": MONEY}, {"by_default": FLAG})),
    },
)
PAYOUTS_ANSWER = object_of(
    {
        "payments": list_of(
            object_of({"angler": ID, "for": one_of(["frame", "section"]), "amount": MONEY})
        ),
        "totals": list_of(object_of({"angler": ID, "amount": MONEY})),
        "paid": MONEY,
        "unallocated": MONEY,
    }
)

_BREAK = object_of({"from_packs": COUNT, "price": MONEY})
_BOUGHT: Shape = {
    **WHOLE,
    "description": "So many packs are bought already: the order has at least so many of them, at "
    "most max_packs, and price breaks, minimum spend and delivery count them in.",
}
ORDER_REQUEST = object_of(
    {
        "demands": list_of(object_of({"member": ID, "bait": ID, "amount": AMOUNT, "unit": UNIT})),
        "suppliers": list_of(
            object_of(
                {"id": ID},
                {
                    "delivery_fee": or_null(MONEY),
                    "minimum_spend": or_null(MONEY),
                    "free_delivery_from": or_null(MONEY),
                },
            )
        ),
        "packs": list_of(
            object_of(
                {
                    "id": ID,
                    "supplier": ID,
                    "bait": ID,
                    "amount": AMOUNT,
                    "unit": UNIT,
                    "price": MONEY,
                },
                {
                    "breaks": or_null(list_of(_BREAK)),
                    "max_packs": or_null(WHOLE),
                    "bought": or_null(_BOUGHT),
                },
            )
        ),
    },
    {
        "currency": CURRENCY,
        "stock": list_of(
            object_of({"bait": ID, "amount": AMOUNT, "unit": UNIT}, {"member": or_null(ID)})
        ),
        "baits": list_of(object_of({"id": ID}, {"bulk_density_kg_per_l": or_null(AMOUNT)})),
        "compare_alone": FLAG,
    },
)
_BAIT_AMOUNT: dict[str, Shape] = {"bait": ID, "amount": AMOUNT, "unit": UNIT}
ORDER_ANSWER = object_of(
    {
        "status": one_of(["optimal", "short", "best_found"]),
        "total": MONEY,
        "goods": MONEY,
        "delivery": MONEY,
        "lines": list_of(
            object_of(
                {
                    "pack": ID,
                    "supplier": ID,
                    "bait": ID,
                    "packs": COUNT,
                    "unit_price": MONEY,
                    "cost": MONEY,
                }
            )
        ),
        "left_over": list_of(object_of(_BAIT_AMOUNT)),
        "short": list_of(object_of({**_BAIT_AMOUNT, "why": {"type": "string"}})),
        "shares": list_of(
            object_of(
                {
                    "member": ID,
                    "due": MONEY,
                    "alone": or_null(MONEY),
                    "saving": or_null(MONEY_SIGNED),
                }
            )
        ),
        "proof": object_of({"lower_bound": MONEY, "gap": MONEY}),
    }
)
