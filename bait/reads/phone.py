"""What a phone takes to the bank of its person's plan and bag.

Call these with an entry the person was given through `matches.reads.access`.
"""

from __future__ import annotations

from decimal import Decimal
from typing import Any

from bait.models import Mix, MixPart, Plan, Stage, StageFeed
from bait.reckon.plans import amount_text
from matches.models import Entry
from matches.reckon.errors import BadInput

from .plans import plan_baits, plan_of_entry, plan_totals_of

MIX_FIGURES = ("water_per_dry", "swell", "squeeze", "packing", "film_mm")


def plan_for_phone(entry: Entry) -> dict[str, Any] | None:
    """The entry's plan with its stages in order, or None when there is none yet.

    Eight queries at most, however long the plan.
    """
    plan = plan_of_entry(entry)
    return None if plan is None else plan_json(plan)


def bag_of(entry: Entry) -> list[dict[str, Any]]:
    """What the member is handed: each bait of the plan with its spare, in the bait's unit.

    Empty without a plan, or with one whose units no longer fit. Amounts are decimal strings,
    rounded up at the fourth place.
    """
    plan = plan_of_entry(entry)
    return [] if plan is None else bag_json(plan)


def bag_json(plan: Plan) -> list[dict[str, Any]]:
    """What `bag_of` says, of a plan of `plans_with_stages`."""
    names = {key: bait.name for key, bait in plan_baits(plan).items()}
    try:
        totals = plan_totals_of(plan)
    except BadInput:
        # A bait was changed after the plan: the desk says so, and the phone keeps the stages.
        return []
    return [
        {
            "bait": total.bait,
            "name": names[total.bait],
            "amount": amount_text(total.with_spare),
            "unit": total.unit,
        }
        for total in totals
    ]


def plan_json(plan: Plan) -> dict[str, Any]:
    """A plan as phones and the API take it, and as a plan may be sent in again.

    Expects a plan of `plans_with_stages`.
    """
    return {
        "note": plan.note,
        "spare_percent": plan.spare_percent,
        "version": plan.version,
        "mixes": [_mix_json(mix) for mix in plan.mixes.all()],
        "stages": [_stage_json(stage) for stage in plan.stages.all()],
        "substitutes": [
            {"bait": pair.bait.key, "instead": pair.instead.key} for pair in plan.substitutes.all()
        ],
    }


def _mix_json(mix: Mix) -> dict[str, Any]:
    return {
        "name": mix.name,
        "rest_minutes": mix.rest_minutes,
        **{key: _text(getattr(mix, key)) for key in MIX_FIGURES},
        "parts": [
            {**_amount_json(part), "after_rest": part.after_rest} for part in mix.parts.all()
        ],
    }


def _stage_json(stage: Stage) -> dict[str, Any]:
    return {
        "kind": stage.kind,
        "line": stage.line,
        "start_minute": stage.start_minute,
        "end_minute": stage.end_minute,
        "every_seconds": stage.every_seconds,
        "note": stage.note,
        "balls": None
        if stage.mix is None
        else {"count": stage.balls, "mm": stage.ball_mm, "mix": stage.mix.name},
        "feeds": [_amount_json(feed) for feed in stage.feeds.all()],
    }


def _amount_json(row: StageFeed | MixPart) -> dict[str, str]:
    return {
        "bait": row.bait.key,
        "name": row.bait.name,
        "amount": _text(row.amount),
        "unit": row.unit,
    }


def _text(value: Decimal) -> str:
    return f"{value.normalize():f}"
