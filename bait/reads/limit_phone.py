"""What a phone shows of the parts of a match's bait limits."""

from __future__ import annotations

from typing import Any

from bait.reckon.limits import LimitUse
from bait.reckon.plans import amount_text
from matches.models import Entry, Match

from .limits import match_rules
from .plan_shown import plan_shown


def limit_parts_for_phone(match: Match, *, entry: Entry | None) -> list[dict[str, Any]]:
    """Each part with what the entry's plan carries of it, in litres as decimal strings.

    `used_l` is None without a plan that adds up; `within` is None then too, and where some bait
    cannot be turned into litres. One query where the match has no parts.
    """
    rules = [rule for rule in match_rules(match) if rule.part]
    if not rules:
        return []
    shown = plan_shown(entry, match=match).limits if entry else ()
    uses: list[LimitUse | None] = [use for use in shown if use.rule.part]
    uses = uses or [None] * len(rules)
    return [
        {
            "name": rule.name,
            "allowed_l": None if rule.allowed_l is None else amount_text(rule.allowed_l),
            "used_l": amount_text(use.used_l) if use else None,
            "within": use.within if use else None,
        }
        for rule, use in zip(rules, uses, strict=True)
    ]
