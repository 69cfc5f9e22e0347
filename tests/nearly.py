"""Comparing answers whose last digit belongs to the machine."""

from __future__ import annotations

import math
from typing import Any


def nearly(value: Any, expected: Any, *, rel: float = 1e-9) -> bool:
    """Whether two pieces of JSON are the same, numbers with a point to within `rel`."""
    if isinstance(expected, dict):
        return (
            isinstance(value, dict)
            and sorted(value) == sorted(expected)
            and all(nearly(value[key], expected[key], rel=rel) for key in expected)
        )
    if isinstance(expected, list):
        return (
            isinstance(value, list)
            and len(value) == len(expected)
            and all(nearly(a, b, rel=rel) for a, b in zip(value, expected, strict=True))
        )
    if isinstance(expected, float) and isinstance(value, int | float):
        return math.isclose(value, expected, rel_tol=rel, abs_tol=1e-300)
    return type(value) is type(expected) and bool(value == expected)
