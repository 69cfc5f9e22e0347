"""Who takes another bait for one that cannot be had."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction

from matches.reckon.decimals import rounded_up

from .larder import USES, Need
from .units import amount_convert


@dataclass(frozen=True, slots=True)
class Rule:
    """A member takes `instead` for `bait`. `factor`: units of `instead` for one of `bait`."""

    member: str
    bait: str
    instead: str
    factor: Fraction


@dataclass(frozen=True, slots=True)
class Switch:
    """What a member goes without of a bait, and what they get instead, each in its bait's unit."""

    member: str
    bait: str
    amount: Fraction
    instead: str
    instead_amount: Fraction


@dataclass(frozen=True, slots=True)
class Switched:
    """Needs after the switches that were made."""

    needs: tuple[Need, ...]
    switches: tuple[Switch, ...]


def instead_factor(
    *, unit: str, density: Fraction | None, instead_unit: str, instead_density: Fraction | None
) -> Fraction | None:
    """How much of another bait stands for one unit of this: the same measure where both have one
    of a sort, else the same litres by bulk density (kg/L). None: it cannot be told."""
    same = amount_convert(Fraction(1), unit=unit, to=instead_unit, density=None)
    if same is not None:
        return same
    litres = amount_convert(Fraction(1), unit=unit, to="L", density=density)
    if litres is None:
        return None
    return amount_convert(litres, unit="L", to=instead_unit, density=instead_density)


def needs_switch(
    needs: Sequence[Need],
    *,
    open_needs: Mapping[tuple[str, str], Fraction],
    short: Mapping[str, Fraction],
    rules: Sequence[Rule],
) -> Switched:
    """What is `short` of each bait goes over to what members take instead.

    Among the members with a rule in proportion to what they still need (`open_needs`, by member
    and bait), rounded up to whole ten-thousandths and never more than that. A member's hook bait
    goes over first, then loose feed, then mix: bait in hand is good for those longest.
    """
    left = {(need.member, need.bait, need.use): need.amount for need in needs}
    switches = []
    for bait in sorted(short):
        mine = [rule for rule in sorted(rules, key=lambda r: r.member) if rule.bait == bait]
        total = sum((open_needs.get((r.member, bait), Fraction(0)) for r in mine), Fraction(0))
        for rule in mine if total else ():
            still = open_needs.get((rule.member, bait), Fraction(0))
            switch = _switch(rule, amount=min(still, short[bait] * still / total), left=left)
            if switch.amount:
                switches.append(switch)
    found = tuple(Need(*key, amount) for key, amount in left.items() if amount)
    return Switched(found, tuple(switches))


def _switch(rule: Rule, *, amount: Fraction, left: dict[tuple[str, str, str], Fraction]) -> Switch:
    rest, taken, given = rounded_up(amount), Fraction(0), Fraction(0)
    for use in USES:
        part = min(rest, left.get((rule.member, rule.bait, use), Fraction(0)))
        if not part:
            continue
        more = rounded_up(part * rule.factor)
        left[rule.member, rule.bait, use] -= part
        key = (rule.member, rule.instead, use)
        left[key] = left.get(key, Fraction(0)) + more
        rest, taken, given = rest - part, taken + part, given + more
    return Switch(rule.member, rule.bait, taken, rule.instead, given)
