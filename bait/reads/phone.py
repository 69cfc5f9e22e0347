"""What a phone takes to the bank of its person's plan and bag.

Call these with an entry the person was given through `matches.reads.access`.
"""

from __future__ import annotations

from typing import Any

from bait.models import Plan
from bait.reckon.plans import amount_text
from matches.models import Entry
from matches.reckon.errors import BadInput

from .plans import plan_baits, plan_of_entry, plan_totals_of


def plan_for_phone(entry: Entry) -> dict[str, Any] | None:
    """The entry's plan with its stages in order, or None when there is none yet.

    Three queries, however long the plan.
    """
    plan = plan_of_entry(entry)
    return None if plan is None else plan_json(plan)


def bag_of(entry: Entry) -> list[dict[str, Any]]:
    """What the member is handed: each bait of the plan with its spare, in the bait's unit.

    Empty without a plan, or with one whose units no longer fit. Amounts are decimal strings,
    rounded up at the fourth place.
    """
    plan = plan_of_entry(entry)
    if plan is None:
        return []
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
    """A plan as phones and the API take it; expects its stages and feeds to be prefetched."""
    return {
        "note": plan.note,
        "spare_percent": plan.spare_percent,
        "version": plan.version,
        "stages": [
            {
                "kind": stage.kind,
                "line": stage.line,
                "start_minute": stage.start_minute,
                "end_minute": stage.end_minute,
                "every_seconds": stage.every_seconds,
                "note": stage.note,
                "feeds": [
                    {
                        "bait": feed.bait.key,
                        "name": feed.bait.name,
                        "amount": f"{feed.amount.normalize():f}",
                        "unit": feed.unit,
                    }
                    for feed in stage.feeds.all()
                ],
            }
            for stage in plan.stages.all()
        ],
    }
