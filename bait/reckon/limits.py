"""A match's bait limits, and how much of each a plan carries to the peg.

Limits are in litres, ready to use and loose, as shown to control. Exact fractions throughout: 20 L
is within 20 L, 20.01 L is over. What is not in litres and has no density cannot be judged; it is
named, never guessed. The organiser's rule always comes first.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction

from .plans import MIX, THROW_ML, BaitFacts, BaitTotal, Feed, PlannedMix, Throws, feed_amount
from .units import amount_convert

ANIMAL, GROUNDBAIT, ANY = "animal", "groundbait", "any"
TO_FEED, FOR_HOOK = "feed", "hook"
LIVE, DEAD = "live", "dead"
#: The names of the two wholes; every other limit is a part with a name of its own.
WHOLE_GROUNDBAIT, WHOLE_BAIT = "groundbait", "bait"

# Groundbait and soil are measured together, ready to use; particles such as hemp count with them
# (common practice, no source). Animal bait is measured apart, and counts as bait when it is loaded
# into groundbait too (Polish federation 2023, an official text read with a little doubt).
GROUNDBAIT_KINDS = frozenset({"groundbait", "soil", "particle"})


@dataclass(frozen=True, slots=True)
class LimitRule:
    """At most `allowed_l` litres of what all of its conditions name; 0 forbids it, None is no
    limit.

    `counts` is "animal", "groundbait" (with soil and particles) or "any"; `family` and `bait`
    narrow it; `use` is "any", "feed" (loose or loaded) or "hook"; `form` "any", "live" or "dead".
    """

    name: str
    allowed_l: Fraction | None
    counts: str = ANY
    family: str = ""
    bait: str | None = None
    use: str = ANY
    form: str = ANY
    source: str = ""
    part: bool = True

    @property
    def forbids(self) -> bool:
        """Whether nothing at all is allowed."""
        return self.allowed_l == 0


@dataclass(frozen=True, slots=True)
class Carried:
    """Some of a bait that goes to the peg for one use, with its part of the spare.

    `amount` is in the bait's own unit; `each_l` are the litres, ready to use, that one such unit
    makes, None where nobody can say. `mix` names the mix it is a dry part of, "" for anything else.
    """

    bait: str
    use: str
    mix: str
    unit: str
    amount: Fraction
    each_l: Fraction | None

    @property
    def litres(self) -> Fraction | None:
        """Litres, ready to use; None where nobody can say."""
        return None if self.each_l is None else self.amount * self.each_l


@dataclass(frozen=True, slots=True)
class LimitUse:
    """One limit and what counts against it, in litres.

    `within` is None where there is no limit, or where some bait (`unjudged`) is not in litres and
    has no density, so that what is known may be within and the whole is not. What is forbidden is
    broken by any amount, measured or not.
    """

    rule: LimitRule
    lines: tuple[Carried, ...]

    @property
    def name(self) -> str:
        """ "groundbait" or "bait" for the two wholes, a part's own name else."""
        return self.rule.name

    @property
    def allowed_l(self) -> Fraction | None:
        return self.rule.allowed_l

    @property
    def used_l(self) -> Fraction:
        """Litres of all that can be judged."""
        return sum((line.litres or Fraction(0) for line in self.lines), Fraction(0))

    @property
    def unjudged(self) -> tuple[str, ...]:
        """The keys of the baits that count and cannot be turned into litres."""
        return tuple(sorted({line.bait for line in self.lines if line.each_l is None}))

    @property
    def within(self) -> bool | None:
        if self.allowed_l is None:
            return None
        if self.used_l > self.allowed_l or (self.rule.forbids and self.unjudged):
            return False
        return None if self.unjudged else True

    @property
    def over_l(self) -> Fraction:
        """Litres above the limit as far as they are known, 0 within it."""
        if self.allowed_l is None:
            return Fraction(0)
        return max(Fraction(0), self.used_l - self.allowed_l)


def whole_limits(
    *, groundbait_l: Fraction | None, bait_l: Fraction | None, source: str = ""
) -> tuple[LimitRule, LimitRule]:
    """The two wholes of a match: groundbait, soil and particles together, and animal bait."""
    return (
        LimitRule(WHOLE_GROUNDBAIT, groundbait_l, counts=GROUNDBAIT, source=source, part=False),
        LimitRule(WHOLE_BAIT, bait_l, counts=ANIMAL, source=source, part=False),
    )


def plan_carried(
    totals: Sequence[BaitTotal],
    *,
    baits: Mapping[str, BaitFacts],
    mixes: Sequence[PlannedMix] = (),
    throws: Throws = THROW_ML,
) -> tuple[Carried, ...]:
    """What a plan's totals (of `plan_totals`, with the same mixes and throws) take to the peg.

    The dry parts of a mix count as what they make ready: its `swell` litres for each litre dry.
    """
    dry = _dry_parts(mixes, baits=baits, throws=throws)
    lines = []
    for total in totals:
        bait = baits[total.bait]
        each = amount_convert(Fraction(1), unit=total.unit, to="L", density=bait.density)
        spare = total.with_spare / total.planned if total.planned else Fraction(1)
        for use in sorted(total.uses):
            left = total.uses[use]
            for mix, amount in dry.get(total.bait, ()) if use == MIX else ():
                left -= amount
                swelled = None if each is None else each * mix.swell
                lines.append(
                    Carried(total.bait, use, mix.name, total.unit, amount * spare, swelled)
                )
            if left > 0:
                lines.append(Carried(total.bait, use, "", total.unit, left * spare, each))
    return tuple(lines)


def _dry_parts(
    mixes: Sequence[PlannedMix], *, baits: Mapping[str, BaitFacts], throws: Throws
) -> dict[str, list[tuple[PlannedMix, Fraction]]]:
    """By bait: the mixes it goes into dry, and how much in its own unit; animal bait never swells.

    Soil that goes in after the rest counts as it is.
    """
    found: dict[str, list[tuple[PlannedMix, Fraction]]] = {}
    filled = {**THROW_ML, **throws}
    for mix in mixes:
        for part in mix.parts:
            if part.after_rest or baits[part.bait].kind == ANIMAL:
                continue
            feed = Feed(part.bait, part.amount, part.unit)
            amount = feed_amount(feed, baits=baits, throws=filled)
            found.setdefault(part.bait, []).append((mix, amount))
    return found


def limit_counts(rule: LimitRule, *, line: Carried, bait: BaitFacts) -> bool:
    """Whether the line counts against the limit."""
    if rule.bait is not None and rule.bait != line.bait:
        return False
    if rule.family and rule.family != bait.family:
        return False
    if rule.use != ANY and (rule.use == FOR_HOOK) != (line.use == FOR_HOOK):
        return False
    if rule.form != ANY and (bait.kind != ANIMAL or bait.dead != (rule.form == DEAD)):
        return False
    if rule.counts == ANIMAL:
        return bait.kind == ANIMAL
    if rule.counts == GROUNDBAIT:
        mixed_in = line.use == MIX and bait.kind != ANIMAL
        return mixed_in or bait.kind in GROUNDBAIT_KINDS
    return True


def limit_use(
    rule: LimitRule, *, carried: Sequence[Carried], baits: Mapping[str, BaitFacts]
) -> LimitUse:
    """What of `carried` counts against the limit."""
    return LimitUse(
        rule,
        tuple(line for line in carried if limit_counts(rule, line=line, bait=baits[line.bait])),
    )


def limits_use(
    rules: Iterable[LimitRule],
    *,
    totals: Sequence[BaitTotal],
    baits: Mapping[str, BaitFacts],
    mixes: Sequence[PlannedMix] = (),
    throws: Throws = THROW_ML,
) -> tuple[LimitUse, ...]:
    """What a plan carries to the peg, with its spare, against each of the rules, in their order.

    `totals` are of the same mixes and throws. Exactly at a limit is in.
    """
    carried = plan_carried(totals, baits=baits, mixes=mixes, throws=throws)
    return tuple(limit_use(rule, carried=carried, baits=baits) for rule in rules)
