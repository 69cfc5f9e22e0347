"""What a phone needs to tell how a member's feeding stands against plan and bag.

Call it with a plan of an entry the person was given through `matches.reads.access`.
"""

from __future__ import annotations

from collections.abc import Mapping
from fractions import Fraction
from typing import Any

from bait.models import PLAN_UNIT_VALUES
from bait.reckon.plans import BaitFacts, Feed, Throws, feed_amount, throws_count
from matches.reckon.errors import BadInput

from .baits import bait_facts
from .plan_whole import WholePlan


def feeding_json(plan: WholePlan) -> dict[str, Any]:
    """How often each stage throws, what the mixes wet of each bait, and what one of each unit is.

    `measures` and `mixed` are exact, as "n/d" in the bait's own unit; a unit that does not fit a
    bait is left out, and so is a bait of which a mix's part does not fit. No query.
    """
    baits = {key: bait_facts(bait) for key, bait in plan.baits.items()}
    return {
        "throws": [throws_count(stage) for stage in plan.stages],
        "mixed": _mixed(plan, baits=baits, throws=plan.throws),
        "measures": {key: _measures(key, baits=baits, throws=plan.throws) for key in sorted(baits)},
    }


def _measures(key: str, *, baits: Mapping[str, BaitFacts], throws: Throws) -> dict[str, str]:
    found = {
        unit: _in_own_unit(Feed(key, Fraction(1), unit), baits=baits, throws=throws)
        for unit in PLAN_UNIT_VALUES
    }
    return {unit: _ratio(amount) for unit, amount in found.items() if amount is not None}


def _mixed(plan: WholePlan, *, baits: Mapping[str, BaitFacts], throws: Throws) -> dict[str, str]:
    sums: dict[str, Fraction | None] = {}
    for mix in plan.mixes:
        for part in mix.parts:
            amount = _in_own_unit(
                Feed(part.bait, part.amount, part.unit), baits=baits, throws=throws
            )
            before = sums.get(part.bait, Fraction(0))
            sums[part.bait] = None if amount is None or before is None else before + amount
    return {key: _ratio(amount) for key, amount in sums.items() if amount is not None}


def _in_own_unit(feed: Feed, *, baits: Mapping[str, BaitFacts], throws: Throws) -> Fraction | None:
    try:
        return feed_amount(feed, baits=baits, throws=throws)
    except BadInput:
        return None


def _ratio(value: Fraction) -> str:
    return f"{value.numerator}/{value.denominator}"
