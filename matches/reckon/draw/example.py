"""The worked example of the open draw calculator."""

from __future__ import annotations

from typing import Any, Final

DRAW_EXAMPLE: Final[dict[str, Any]] = {
    "seed": "00" * 31 + "01",
    "anglers": [{"id": name, "team": None} for name in ("a", "b", "c", "d", "e")],
    "sections": [{"id": "A", "pegs": ["1", "2", "3", "4", "5"]}],
    "mode": "open",
}
DRAW_EXAMPLE_ANSWER: Final[dict[str, Any]] = {
    "commitment": "ec4916dd28fc4c10d78e287ca5d9cc51ee1ae73cbfde08c6b37324cbfaac8bc5",
    "assignments": [
        {"angler": "a", "section": "A", "peg": "1"},
        {"angler": "b", "section": "A", "peg": "2"},
        {"angler": "c", "section": "A", "peg": "4"},
        {"angler": "d", "section": "A", "peg": "5"},
        {"angler": "e", "section": "A", "peg": "3"},
    ],
}
