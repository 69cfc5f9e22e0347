"""The match's limits: what they shut out, and what of the wished amounts fits them."""

from __future__ import annotations

from collections.abc import Mapping
from fractions import Fraction
from typing import Final

from bait.reckon.limit_drops import caps_of_all, carried_capped
from bait.reckon.limits import Carried, LimitRule, limit_counts, limits_use
from bait.reckon.plans import FEED, HOOK, MIX, BaitFacts, plan_totals
from bait.reckon.units import amount_convert

from .build import MIX_NAME
from .request import DRY, FED, HOOKED, LOAD, SOIL, Ask, Suggestion

#: What the limits call each use; what is dry goes into a mix of its own name.
_CARRIED: Final = {DRY: MIX, SOIL: MIX, LOAD: MIX, FED: FEED, HOOKED: HOOK}


def amounts_within(
    wished: Mapping[tuple[str, str], Fraction], *, ask: Ask, swell: Fraction
) -> dict[tuple[str, str], Fraction]:
    """The wished amounts by bait and use, less what does not fit the limits with the spare on top.

    What is fed loose is lessened first, hook baits last. `swell` is that of the mix.
    """
    spare = Fraction(100 + ask.spare_percent, 100)
    lines = tuple(
        _carried(ask.baits[bait], use, amount=amount * spare, swell=swell)
        for (bait, use), amount in wished.items()
    )
    capped = carried_capped(lines, caps=caps_of_all(ask.rules, carried=lines, baits=ask.baits))
    left = {(line.bait, line.use, line.mix): line.amount / spare for line in capped}
    found = {key: (key[0], _CARRIED[key[1]], _mix(key[1])) for key in wished}
    return {key: left[at] for key, at in found.items() if at in left}


def is_shut_out(bait: str, *, ask: Ask, use: str | None) -> bool:
    """Whether a limit forbids the bait for the use (for every one, where that is None), or counts
    it and cannot measure it."""
    facts = ask.baits[bait]
    uses = [use] if use else list(_CARRIED)
    return all(any(_closes(rule, facts=facts, use=one) for rule in ask.rules) for one in uses)


def within_limits(suggestion: Suggestion, *, ask: Ask) -> bool:
    """Whether every limit holds for the suggestion with its spare, as it does for any saved plan
    of the same stages and mixes."""
    totals = plan_totals(
        suggestion.stages,
        baits=ask.baits,
        spare_percent=ask.spare_percent,
        mixes=suggestion.mixes,
    )
    uses = limits_use(ask.rules, totals=totals, baits=ask.baits, mixes=suggestion.mixes)
    return all(use.within for use in uses if use.allowed_l is not None)


def _closes(rule: LimitRule, *, facts: BaitFacts, use: str) -> bool:
    line = _carried(facts, use, amount=Fraction(1), swell=Fraction(1))
    shut = rule.allowed_l is not None and (rule.forbids or line.each_l is None)
    return shut and limit_counts(rule, line=line, bait=facts)


def _carried(facts: BaitFacts, use: str, *, amount: Fraction, swell: Fraction) -> Carried:
    each = amount_convert(Fraction(1), unit=facts.unit, to="L", density=facts.density)
    if each is not None and use == DRY:
        each *= swell
    return Carried(facts.key, _CARRIED[use], _mix(use), facts.unit, amount, each)


def _mix(use: str) -> str:
    """Tells lines of one bait apart: earlier balls may have been loaded with what is soil too."""
    return {DRY: MIX_NAME, LOAD: LOAD}.get(use, "")
