"""What a net counts: its weight under the match's cap, its fish by the points of their species."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from typing import Literal

OverCap = Literal["cap", "nothing"]
Fish = tuple[tuple[str, int], ...]
"""Species and how many, such as (("Roach", 12), ("Perch", 3))."""


@dataclass(frozen=True, slots=True)
class NetRules:
    """How the nets of one match count.

    `cap` is the most a net may hold, in the match's unit; a net `over` it counts the cap, or
    nothing at all, its fish included. `points` of each species where fish are scored, None where
    only the weight counts. Both are the organiser's: many waters cap a net (from club rules).
    """

    cap: int | None = None
    over: OverCap = "cap"
    points: Mapping[str, int] | None = field(default=None)

    def is_over(self, weight: int) -> bool:
        return self.cap is not None and weight > self.cap

    def weight_counted(self, weight: int) -> int:
        """What a net of `weight` counts."""
        if self.cap is None or weight <= self.cap:
            return weight
        return self.cap if self.over == "cap" else 0

    def fish_counted(self, fish: Iterable[tuple[str, int]] | None, *, weight: int) -> int | None:
        """The points of a net's fish; None where fish are not scored.

        Fish that were not counted yet are no points, and a species that is scored no more is none.
        """
        if self.points is None:
            return None
        if self.is_over(weight) and self.over == "nothing":
            return 0
        return sum(count * self.points.get(species, 0) for species, count in fish or ())
