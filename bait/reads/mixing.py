"""The mixing sheet of a plan, for its page and for the phone.

Call these with an entry the person was given through `bait.reads.plans`.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import asdict, dataclass
from fractions import Fraction
from typing import Any

from bait.models import Bait, Plan
from bait.reckon.mixing import BallsSheet, Measured, MixSheet, mixing_sheets
from bait.reckon.plans import amount_text
from matches.models import Entry
from matches.reckon.decimals import decimal_text
from matches.reckon.errors import BadInput, Fault

from .baits import bait_facts
from .plan_whole import WholePlan
from .plans import plan_of_entry


@dataclass(frozen=True, slots=True)
class MixingShown:
    """A plan's mixes to make. `faults` say why they cannot be worked out."""

    whole: WholePlan | None
    baits: Mapping[str, Bait]
    sheets: tuple[MixSheet, ...]
    faults: tuple[Fault, ...] = ()

    @property
    def plan(self) -> Plan | None:
        return self.whole.plan if self.whole else None


def mixing_shown(entry: Entry) -> MixingShown:
    """The entry's mixes: one query."""
    plan = plan_of_entry(entry)
    return MixingShown(None, {}, ()) if plan is None else _plan_mixing(plan)


def mixing_json(plan: WholePlan) -> list[dict[str, Any]]:
    """One row a mix: what goes in, water, rest, what comes after, and its balls.

    Amounts are decimal strings, litres to a hundredth; null where something cannot be measured.
    Empty where the plan no longer adds up.
    """
    shown = _plan_mixing(plan)
    return [
        {
            "name": sheet.mix.name,
            "rest_minutes": sheet.mix.rest_minutes,
            "dry": [_amount_json(part, baits=shown.baits) for part in sheet.dry],
            "after": [_amount_json(part, baits=shown.baits) for part in sheet.after],
            "dry_l": _litres(sheet.dry_l),
            "water_l": _litres(sheet.water_l),
            "ready_l": _litres(sheet.ready_l),
            "left_l": _litres(sheet.left_l),
            "balls": [
                {
                    "kind": plan.stages[balls.stage].kind,
                    "line": plan.stages[balls.stage].line,
                    **_balls_json(balls, baits=shown.baits),
                }
                for balls in sheet.balls
            ],
            "most": [asdict(most) for most in sheet.most],
        }
        for sheet in shown.sheets
    ]


def _plan_mixing(plan: WholePlan) -> MixingShown:
    try:
        sheets = mixing_sheets(
            plan.mixes,
            stages=plan.stages,
            baits={key: bait_facts(bait) for key, bait in plan.baits.items()},
            throws=plan.throws,
        )
    except BadInput as bad:
        # A bait was changed after the plan.
        return MixingShown(plan, plan.baits, (), bad.faults)
    return MixingShown(plan, plan.baits, sheets)


def _balls_json(balls: BallsSheet, *, baits: Mapping[str, Bait]) -> dict[str, Any]:
    return {
        "count": balls.count,
        "mm": balls.mm,
        "load": [_amount_json(part, baits=baits) for part in balls.load],
        "each_ml": balls.each_ml,
        "most_each_ml": balls.most_each_ml,
        "holds": balls.holds,
    }


def _amount_json(part: Measured, *, baits: Mapping[str, Bait]) -> dict[str, str]:
    return {
        "bait": part.bait,
        "name": baits[part.bait].name,
        "amount": amount_text(part.amount),
        "unit": part.unit,
    }


def _litres(value: Fraction | None) -> str | None:
    return None if value is None else decimal_text(Fraction(round(value * 100), 100))
