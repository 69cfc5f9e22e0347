"""What pictures of a day have in common: colours by number, and steps along the time."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

#: `hue-0` to `hue-7` of the style sheets.
HUES: Final = 8
_MOST_TICKS: Final = 7


def tick_step(minutes: int, *, steps: Sequence[int]) -> int:
    """The first of the steps, in minutes, of which not too many fit into so many; else the last."""
    return next((step for step in steps if minutes // step < _MOST_TICKS), steps[-1])
