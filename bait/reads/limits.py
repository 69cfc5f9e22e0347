"""A match's bait limits as reckoning takes them, and what a plan uses of them."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from decimal import Decimal
from fractions import Fraction

from bait.models import Bait, MatchLimit
from bait.reckon.limits import LimitRule, LimitUse, limits_use, whole_limits
from bait.reckon.plans import THROW_ML, BaitTotal, PlannedMix, Throws
from matches.models import Match

from .baits import bait_facts


def match_rules(match: Match) -> tuple[LimitRule, ...]:
    """The two wholes, then the parts in their order. One query."""
    parts = MatchLimit.objects.filter(match=match).select_related("bait").order_by("position")
    wholes = whole_limits(
        groundbait_l=_litres(match.groundbait_limit_l),
        bait_l=_litres(match.bait_limit_l),
        source=match.limits_source,
    )
    return (*wholes, *(_part_rule(limit) for limit in parts))


def plan_limits(
    totals: Iterable[BaitTotal],
    *,
    baits: Mapping[str, Bait],
    rules: Iterable[LimitRule],
    mixes: Sequence[PlannedMix] = (),
    throws: Throws = THROW_ML,
) -> tuple[LimitUse, ...]:
    """`limits_use` of stored baits; `rules` are those of `match_rules`."""
    facts = {key: bait_facts(bait) for key, bait in baits.items()}
    return limits_use(rules, totals=tuple(totals), baits=facts, mixes=mixes, throws=throws)


def _part_rule(limit: MatchLimit) -> LimitRule:
    return LimitRule(
        name=limit.name,
        allowed_l=Fraction(limit.allowed_l),
        counts=limit.counts,
        family=limit.family,
        bait=limit.bait.key if limit.bait else None,
        use=limit.use,
        form=limit.form,
        source=limit.source,
    )


def _litres(value: Decimal | None) -> Fraction | None:
    """Exact, also of a float or text a row was made with and not read back."""
    return None if value is None else Fraction(str(value))
