"""What a phone takes to the bank of its person's plan and bag.

Call these with an entry the person was given through `matches.reads.access`.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import asdict
from typing import Any

from bait.models import Bait
from bait.reckon.plans import Feed, MixPart, PlannedMix, PlannedStage, amount_text
from matches.reckon.decimals import decimal_text
from matches.reckon.errors import BadInput

from .plan_whole import WholePlan
from .plans import plan_totals_of

MIX_FIGURES = ("water_per_dry", "swell", "squeeze", "packing", "film_mm")


def bag_json(plan: WholePlan) -> list[dict[str, Any]]:
    """What `bag_of` says."""
    try:
        totals = plan_totals_of(plan)
    except BadInput:
        # A bait was changed after the plan: the desk says so, and the phone keeps the stages.
        return []
    return [
        {
            "bait": total.bait,
            "name": plan.baits[total.bait].name,
            "amount": amount_text(total.with_spare),
            "unit": total.unit,
        }
        for total in totals
    ]


def plan_json(plan: WholePlan) -> dict[str, Any]:
    """A plan as phones and the API take it, and as a plan may be sent in again."""
    return {
        "note": plan.plan.note,
        "spare_percent": plan.plan.spare_percent,
        "version": plan.plan.version,
        "mixes": mixes_json(plan.mixes, baits=plan.baits),
        "stages": [
            _stage_json(stage, note=note, baits=plan.baits)
            for stage, note in zip(plan.stages, plan.notes, strict=True)
        ],
        "substitutes": [{"bait": key, "instead": bait.key} for key, bait in plan.instead.items()],
    }


def mixes_json(mixes: Iterable[PlannedMix], *, baits: Mapping[str, Bait]) -> list[dict[str, Any]]:
    """Mixes as a plan has them."""
    return [_mix_json(mix, baits=baits) for mix in mixes]


def stages_json(
    stages: Iterable[PlannedStage], *, baits: Mapping[str, Bait]
) -> list[dict[str, Any]]:
    """Stages as a plan has them, without notes."""
    return [_stage_json(stage, note="", baits=baits) for stage in stages]


def _mix_json(mix: PlannedMix, *, baits: Mapping[str, Bait]) -> dict[str, Any]:
    return {
        "name": mix.name,
        "rest_minutes": mix.rest_minutes,
        **{key: decimal_text(getattr(mix, key)) for key in MIX_FIGURES},
        "parts": [
            {**_amount_json(part, baits=baits), "after_rest": part.after_rest} for part in mix.parts
        ],
    }


def _stage_json(stage: PlannedStage, *, note: str, baits: Mapping[str, Bait]) -> dict[str, Any]:
    return {
        "kind": stage.kind,
        "line": stage.line,
        "start_minute": stage.start_minute,
        "end_minute": stage.end_minute,
        "every_seconds": stage.every_seconds,
        "note": note,
        "balls": stage.balls and asdict(stage.balls),
        "feeds": [_amount_json(feed, baits=baits) for feed in stage.feeds],
    }


def _amount_json(row: Feed | MixPart, *, baits: Mapping[str, Bait]) -> dict[str, str]:
    return {
        "bait": row.bait,
        "name": baits[row.bait].name,
        "amount": decimal_text(row.amount),
        "unit": row.unit,
    }
