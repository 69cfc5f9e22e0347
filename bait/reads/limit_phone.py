"""What a phone shows of a match's bait limits and of one's own use of them."""

from __future__ import annotations

from typing import Any

from bait.reckon.limits import WHOLE_BAIT, WHOLE_GROUNDBAIT, LimitRule, LimitUse
from bait.reckon.plans import amount_text
from matches.models import Match
from matches.reckon.errors import BadInput

from .limits import match_rules, plan_limits
from .plan_whole import WholePlan
from .plans import plan_totals_of


def limits_for_phone(match: Match, *, plan: WholePlan | None) -> dict[str, Any]:
    """The two wholes and the parts, each with what the plan carries of it, in litres as decimal
    strings. One query.

    A whole without a limit is None, and so is what is carried of it. `used_l` is None without a
    plan that adds up; `within` is None then too, and where some bait cannot be turned into litres.
    """
    rules = match_rules(match)
    uses = _uses(plan, rules=rules)
    mine = {
        rule.name: _mine(use) if rule.allowed_l is not None and use else None
        for rule, use in zip(rules, uses, strict=True)
        if not rule.part
    }
    return {
        "groundbait_l": _litres(match.groundbait_limit_l),
        "groundbait_mine": mine[WHOLE_GROUNDBAIT],
        "bait_l": _litres(match.bait_limit_l),
        "bait_mine": mine[WHOLE_BAIT],
        "source": match.limits_source,
        "parts": [
            {
                "name": rule.name,
                "allowed_l": None if rule.allowed_l is None else amount_text(rule.allowed_l),
                **_mine(use),
            }
            for rule, use in zip(rules, uses, strict=True)
            if rule.part
        ],
    }


def _uses(plan: WholePlan | None, *, rules: tuple[LimitRule, ...]) -> tuple[LimitUse | None, ...]:
    nothing = (None,) * len(rules)
    if plan is None:
        return nothing
    try:
        totals = plan_totals_of(plan)
    except BadInput:
        # A bait was changed after the plan: the desk says so, and the phone keeps the limits.
        return nothing
    return plan_limits(totals, baits=plan.baits, rules=rules, mixes=plan.mixes, throws=plan.throws)


def _mine(use: LimitUse | None) -> dict[str, Any]:
    return {
        "used_l": amount_text(use.used_l) if use else None,
        "within": use.within if use else None,
    }


def _litres(value: Any) -> str | None:
    return None if value is None else f"{value:.2f}"
