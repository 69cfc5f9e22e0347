"""The rows of the plan editor, as text: what was typed, and what is wrong with it.

A mix and a stage fold to one line, `said`; `in_work` is the one a row was added to or taken out of.
"""

from __future__ import annotations

from dataclasses import dataclass, field

FEED_FIELDS = ("bait", "amount", "unit")
STAGE_FIELDS = (
    "kind",
    "line",
    "start_minute",
    "end_minute",
    "every_seconds",
    "note",
    "balls_count",
    "balls_mm",
    "balls_mix",
)
MIX_FIELDS = (
    "name",
    "water_per_dry",
    "rest_minutes",
    "swell",
    "squeeze",
    "packing",
    "film_mm",
)
SUBSTITUTE_FIELDS = ("bait", "instead")


@dataclass
class FeedRow:
    bait: str = ""
    amount: str = ""
    unit: str = ""
    after_rest: bool = False  # of a mix's part
    faults: dict[str, str] = field(default_factory=dict)

    @property
    def blank(self) -> bool:
        return not self.bait and not self.amount

    @property
    def unit_in_stage(self) -> str:
        """What is most often fed by."""
        return self.unit or "pint"

    @property
    def unit_in_mix(self) -> str:
        return self.unit or "L"


@dataclass
class MixRow:
    """A mix; its figures start at what the calculator takes while nothing is measured."""

    name: str = ""
    water_per_dry: str = "0.45"
    rest_minutes: str = "25"
    swell: str = "1"
    squeeze: str = "0.7"
    packing: str = "0.6"
    film_mm: str = "0.4"
    parts: list[FeedRow] = field(default_factory=list)
    faults: dict[str, str] = field(default_factory=dict)
    in_work: bool = False
    said: str = ""

    @property
    def opens(self) -> bool:
        """Whether it stands open: in work, wrong, or not filled in yet."""
        return self.in_work or bool(self.faults) or _to_fill(self.parts)

    @property
    def blank(self) -> bool:
        return not self.name and all(part.blank for part in self.parts)

    @property
    def measured_faults(self) -> bool:
        """Whether one of the figures that are folded away is wrong."""
        return bool(self.faults.keys() & {"swell", "squeeze", "packing", "film_mm"})


@dataclass
class StageRow:
    """A stage; `balls_mix` is the place of a mix in the form, so that its name may change."""

    kind: str = "feed"
    line: str = ""
    start_minute: str = "0"
    end_minute: str = ""
    every_seconds: str = ""
    note: str = ""
    balls_count: str = ""
    balls_mm: str = ""
    balls_mix: str = ""
    feeds: list[FeedRow] = field(default_factory=list)
    faults: dict[str, str] = field(default_factory=dict)
    in_work: bool = False
    said: str = ""

    @property
    def opens(self) -> bool:
        """Whether it stands open: in work, wrong, or not filled in yet."""
        to_fill = bool(self.feeds or not self.has_balls) and _to_fill(self.feeds)
        return self.in_work or bool(self.faults) or to_fill

    @property
    def has_balls(self) -> bool:
        return bool(self.balls_count.strip() or self.balls_mix)


@dataclass
class SubstituteRow:
    bait: str = ""
    instead: str = ""
    faults: dict[str, str] = field(default_factory=dict)

    @property
    def blank(self) -> bool:
        return not self.bait and not self.instead


def _to_fill(rows: list[FeedRow]) -> bool:
    """Whether a bait or an amount is missing, or one is wrong."""
    return not rows or any(row.faults or not (row.bait and row.amount) for row in rows)
