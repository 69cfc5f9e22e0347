"""What a suggestion is made from, and what it says."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from fractions import Fraction

from bait.reckon.limits import LimitRule
from bait.reckon.plans import BaitFacts, PlannedMix, PlannedStage

#: Where a number may come from.
GIVEN, MEASURED, USUAL = "given", "measured", "usual"
RULE, OWN_HERE, TEAM_HERE, OWN, PLAN, REVIEW = (
    "rule",
    "own_here",
    "team_here",
    "own",
    "plan",
    "review",
)
#: What the balls need, and what leaves each throw large enough to measure.
GEOMETRY, MEASURABLE = "geometry", "measurable"
#: What an amount is for.
DRY, SOIL, LOAD, FED, HOOKED = "dry", "soil", "load", "fed", "hooked"


@dataclass(frozen=True, slots=True)
class Known:
    """A figure of the water, whole, and whether it was given, measured (`times` over) or usual."""

    value: int
    by: str
    times: int = 0


@dataclass(frozen=True, slots=True)
class Record:
    """One earlier bag: of each bait and use what was used, in the bait's unit, in so many minutes.

    `own`: the angler's; `here`: at the venue; `warmth` of the water then. `told`: what came back
    was told; else the amounts are as planned. `balls` is (count, millimetres), None without any.
    """

    match: int
    angler: int
    own: bool
    here: bool
    warmth: str
    minutes: int
    used: Mapping[tuple[str, str], Fraction]
    told: bool = False
    balls: tuple[int, int] | None = None


@dataclass(frozen=True, slots=True)
class Lines:
    """The first line, and the second with the minute from which it is fished; empty without one.

    `by` is "plan" or "review": where it was learnt; `match` names the plan's.
    """

    first: str = ""
    second: str = ""
    minute: int = 0
    by: str = PLAN
    match: str = ""


@dataclass(frozen=True, slots=True)
class Ask:
    """Everything a suggestion is made from. `baits` in the order they are preferred in; `mix` is
    the angler's own, with parts in the baits' units.
    """

    minutes: int
    celsius_tenths: Known
    cm_s: Known
    baits: Mapping[str, BaitFacts]
    rules: tuple[LimitRule, ...] = ()
    spare_percent: int = 10
    records: tuple[Record, ...] = ()
    lines: Lines | None = None
    mix: PlannedMix | None = None


@dataclass(frozen=True, slots=True)
class Reason:
    """One number of the suggestion and where it comes from.

    `by` is one of the words above; from records, of `matches` matches and between `low` and `high`.
    `wished` is what it would have been without the match's limits.
    """

    what: str
    value: Fraction
    by: str
    source: str = ""
    bait: str = ""
    use: str = ""
    matches: int = 0
    told: int = 0
    low: Fraction | None = None
    high: Fraction | None = None
    wished: Fraction | None = None

    @property
    def contradicts(self) -> bool:
        """Whether the records say very different things: one three times the other."""
        return self.low is not None and self.high is not None and self.high > 3 * self.low

    @property
    def cut(self) -> bool:
        return self.wished is not None and self.wished > self.value


@dataclass(frozen=True, slots=True)
class Suggestion:
    """A plan's mixes and stages, within the limits, and a reason for each number.

    `left_out` are baits that a limit forbids, or that cannot be held against one.
    """

    mixes: tuple[PlannedMix, ...]
    stages: tuple[PlannedStage, ...]
    warmth: str
    flow: str
    reasons: tuple[Reason, ...]
    left_out: tuple[str, ...] = field(default=())
