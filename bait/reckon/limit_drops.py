"""What to leave at home so that a plan fits its limits.

Each way is a list of caps: carry at most so much of this bait. What is kept is rounded down to an
amount a person can measure, so a cap always fits when it is kept, and one step more would not.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction

from .limits import ANY, FOR_HOOK, Carried, LimitRule, LimitUse, limit_use
from .plans import FEED, HOOK, MIX, BaitFacts

#: About 50 ml or 50 g, a mark on a jug or kitchen scales (common practice, no source).
STEPS: Mapping[str, Fraction] = {
    "L": Fraction("0.05"),
    "ml": Fraction(50),
    "pint": Fraction("0.1"),
    "kg": Fraction("0.05"),
    "g": Fraction(50),
    "lb": Fraction("0.1"),
    "oz": Fraction(1),
    "each": Fraction(1),
}
# What is least missed goes first: loose feed, then what is mixed, what goes on the hook last.
_TAKEN_FIRST = {FEED: 0, MIX: 1, HOOK: 2}


@dataclass(frozen=True, slots=True)
class Cap:
    """Carry at most `kept` of the `planned` amount of a bait, in its own unit.

    `lines` are the (use, mix) it is about; `use` is that of the limit it was made for; `mixes`
    names the mixes where the bait goes into several that swell differently, empty else.
    """

    bait: str
    unit: str
    use: str
    lines: tuple[tuple[str, str], ...]
    mixes: tuple[str, ...]
    planned: Fraction
    kept: Fraction

    @property
    def left_out(self) -> Fraction:
        return self.planned - self.kept


@dataclass(frozen=True, slots=True)
class _Group:
    """Lines of one bait that make as many litres of each unit."""

    cap: Cap
    each_l: Fraction

    @property
    def step(self) -> Fraction:
        return STEPS[self.cap.unit]

    def litres(self, amount: Fraction) -> Fraction:
        return amount * self.each_l


def amount_measurable(amount: Fraction, *, unit: str) -> Fraction:
    """The most of `amount` that a person can measure in the unit: 4.39 pints are 4.3."""
    step = STEPS[unit]
    return amount // step * step


def caps_of_one(use: LimitUse) -> tuple[Cap, ...]:
    """Every way to fit by carrying less of one bait alone, what leaves least at home first.

    Empty within the limit, or where no one bait is enough.
    """
    if use.within is not False or use.allowed_l is None or use.rule.forbids:
        return ()
    found = []
    for group in _groups(use):
        room = use.allowed_l - (use.used_l - group.litres(group.cap.planned))
        if room >= 0:
            kept = amount_measurable(room / group.each_l, unit=group.cap.unit)
            lost = group.litres(group.cap.planned - kept)
            found.append((lost, group.cap.bait, group.cap.lines, replace(group.cap, kept=kept)))
    return tuple(cap for *_order, cap in sorted(found, key=lambda way: way[:3]))


def caps_of_each(use: LimitUse) -> tuple[Cap, ...]:
    """The way to fit by carrying less of everything that counts, in proportion.

    What rounding down takes too much is given back step by step while it fits. Of what is
    forbidden nothing is kept, measured or not. Empty within the limit.
    """
    if use.within is not False or use.allowed_l is None:
        return ()
    if use.rule.forbids:
        return _caps_nothing(use)
    groups = _groups(use)
    share = use.allowed_l / use.used_l
    aims = [group.cap.planned * share for group in groups]
    kept = [amount_measurable(aim, unit=g.cap.unit) for g, aim in zip(groups, aims, strict=True)]
    _give_back(kept, groups=groups, aims=aims, allowed=use.allowed_l)
    caps = (replace(group.cap, kept=left) for group, left in zip(groups, kept, strict=True))
    return tuple(cap for cap in caps if cap.left_out > 0)


def _give_back(
    kept: list[Fraction],
    *,
    groups: Sequence[_Group],
    aims: Sequence[Fraction],
    allowed: Fraction,
) -> None:
    """Raise `kept` by single steps while it fits, what is furthest below its aim first."""
    room = allowed - sum((g.litres(k) for g, k in zip(groups, kept, strict=True)), Fraction(0))
    order = sorted(range(len(groups)), key=lambda n: groups[n].litres(kept[n] - aims[n]))
    given = True
    while given:
        given = False
        for n in order:
            more = min(groups[n].cap.planned, kept[n] + groups[n].step) - kept[n]
            if 0 < groups[n].litres(more) <= room:
                kept[n] += more
                room -= groups[n].litres(more)
                given = True


def spare_fitting(use: LimitUse, *, spare_percent: int) -> int | None:
    """The most spare, in whole percent, with which the plan as it is would fit.

    None where it fits already, or no less spare is enough.
    """
    if use.within is not False or use.allowed_l is None or use.rule.forbids:
        return None
    most = use.allowed_l * (100 + spare_percent) // use.used_l - 100
    return int(most) if 0 <= most < spare_percent else None


def caps_of_all(
    rules: Sequence[LimitRule],
    *,
    carried: Sequence[Carried],
    baits: Mapping[str, BaitFacts],
) -> tuple[Cap, ...]:
    """What to carry less of so that every limit fits, as far as it can be judged.

    The narrowest limits come first, so that what they leave at home counts for the wider ones.
    """
    left = tuple(carried)
    found: list[Cap] = []
    for rule in sorted(rules, key=_width):
        caps = caps_of_each(limit_use(rule, carried=left, baits=baits))
        left = carried_capped(left, caps=caps)
        found += caps
    whole = [replace(cap, planned=_planned(carried, cap=cap)) for cap in found]
    return tuple(
        cap
        for at, cap in enumerate(whole)
        if not any(_says_more(other, cap) for n, other in enumerate(whole) if n > at)
    )


def _width(rule: LimitRule) -> tuple[bool, bool, bool, bool, bool]:
    """Narrow limits sort before wide ones."""
    return (
        not rule.forbids,
        rule.use == ANY,
        rule.bait is None,
        rule.form == ANY and not rule.family,
        not rule.part,
    )


def _says_more(other: Cap, cap: Cap) -> bool:
    """Whether keeping to `other` keeps to `cap` as well."""
    return other.bait == cap.bait and other.kept <= cap.kept and set(other.lines) >= set(cap.lines)


def carried_capped(carried: Sequence[Carried], *, caps: Sequence[Cap]) -> tuple[Carried, ...]:
    """`carried` once each cap is kept to; loose feed is left at home first, hook baits last."""
    lines = list(carried)
    for cap in caps:
        excess = _planned(lines, cap=cap) - cap.kept
        for n in sorted(range(len(lines)), key=lambda n: _TAKEN_FIRST[lines[n].use]):
            if excess > 0 and _covers(cap, lines[n]):
                taken = min(excess, lines[n].amount)
                lines[n] = replace(lines[n], amount=lines[n].amount - taken)
                excess -= taken
    return tuple(line for line in lines if line.amount > 0)


def _planned(carried: Sequence[Carried], *, cap: Cap) -> Fraction:
    return sum((line.amount for line in carried if _covers(cap, line)), Fraction(0))


def _covers(cap: Cap, line: Carried) -> bool:
    return line.bait == cap.bait and (line.use, line.mix) in cap.lines


def _groups(use: LimitUse) -> list[_Group]:
    """What counts and can be judged, by bait and by how many litres a unit of it makes."""
    lines: dict[tuple[str, Fraction], list[Carried]] = {}
    for line in use.lines:
        if line.each_l is not None:
            lines.setdefault((line.bait, line.each_l), []).append(line)
    several = {bait for bait, _each in lines if sum(key[0] == bait for key in lines) > 1}
    return [
        _Group(_cap(found, use=use, name_mixes=bait in several), each)
        for (bait, each), found in sorted(lines.items())
    ]


def _caps_nothing(use: LimitUse) -> tuple[Cap, ...]:
    lines: dict[str, list[Carried]] = {}
    for line in use.lines:
        lines.setdefault(line.bait, []).append(line)
    return tuple(_cap(found, use=use, name_mixes=False) for _bait, found in sorted(lines.items()))


def _cap(lines: Sequence[Carried], *, use: LimitUse, name_mixes: bool) -> Cap:
    """A cap that keeps nothing yet."""
    keys = tuple(sorted({(line.use, line.mix) for line in lines}))
    return Cap(
        bait=lines[0].bait,
        unit=lines[0].unit,
        use=FOR_HOOK if use.rule.use == FOR_HOOK else ANY,
        lines=keys,
        mixes=tuple(mix for _use, mix in keys if mix) if name_mixes else (),
        planned=sum((line.amount for line in lines), Fraction(0)),
        kept=Fraction(0),
    )
