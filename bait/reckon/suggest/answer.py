"""A plan for a match to come, from what was used before and what is usual, within its limits.

It is a start to change, not a forecast: nothing here says what fish will do.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction

from bait.reckon.mix.balls import ball_litres
from bait.reckon.plans import FEED, HOOK, MIX, BaitFacts, PlannedMix, PlannedStage, plan_totals
from bait.reckon.units import amount_convert

from .build import MIX_NAME, Shape, plan_built
from .fit import amounts_within, is_shut_out
from .records import Learnt, amount_learnt, balls_learnt, records_like, used_mostly
from .request import (
    DRY,
    FED,
    GEOMETRY,
    HOOKED,
    LOAD,
    MEASURABLE,
    RULE,
    SOIL,
    Ask,
    Lines,
    Reason,
    Suggestion,
)
from .rules import HEAVY_DAY_MINUTES, Rule, flow_of, rule_of, warmth_of

_ANIMALS_FED = 2


def suggest(ask: Ask) -> Suggestion:
    """The plan and its reasons; see the parts. The limits hold for it with its spare, whatever the
    records say: what a limit forbids, or what counts against one and has no litres, is left out.
    """
    return _Maker(ask).suggestion()


@dataclass(frozen=True, slots=True)
class _Wish:
    amount: Fraction
    reason: Reason


class _Maker:
    """One ask with what follows from it at once."""

    def __init__(self, ask: Ask) -> None:
        self.ask = ask
        self.warmth, self.flow = warmth_of(ask.celsius_tenths.value), flow_of(ask.cm_s.value)
        self.left_out = tuple(key for key in ask.baits if is_shut_out(key, ask=ask, use=None))
        self.by, self.records = records_like(ask.records, warmth=self.warmth)

    def suggestion(self) -> Suggestion:
        shape, reasons = self._shape()
        wishes = self._wishes(shape)
        wished = {key: wish.amount for key, wish in wishes.items()}
        amounts = amounts_within(wished, ask=self.ask, swell=shape.mix.swell)
        mixes, stages = plan_built(amounts, shape=shape, baits=self.ask.baits)
        kept = _amounts_of(mixes, stages, baits=self.ask.baits)
        said = [
            replace(wish.reason, value=kept[key], wished=_if_cut(wish.amount, amounts.get(key)))
            for key, wish in wishes.items()
            if key in kept
        ]
        return Suggestion(
            mixes=mixes,
            stages=stages,
            warmth=self.warmth,
            flow=self.flow,
            reasons=tuple(_true_only([*reasons, *said], stages=stages)),
            left_out=self.left_out,
        )

    def _rule(self, what: str) -> Rule:
        return rule_of(what, warmth=self.warmth, flow=self.flow)

    def _by_rule(self, what: str) -> Reason:
        rule = self._rule(what)
        return Reason(what, rule.value, RULE, rule.source)

    def _shape(self) -> tuple[Shape, list[Reason]]:
        ask = self.ask
        learnt = balls_learnt(self.by, self.records)
        balls, size = self._by_rule("balls"), self._by_rule("ball_mm")
        if learnt is not None:
            balls = _of(learnt[0], what="balls")
            size = replace(balls, what="ball_mm", value=Fraction(learnt[1]), low=None, high=None)
        every, quiet = self._by_rule("every_seconds"), self._by_rule("quiet_minutes")
        reasons = [balls, size, every, quiet, self._by_rule("soil_share")]
        lines = ask.lines or Lines()
        if lines.second:
            reasons.append(Reason("switch", Fraction(lines.minute), lines.by, source=lines.match))
        mix = ask.mix or PlannedMix(
            MIX_NAME, (), rest_minutes=int(self._rule("rest_minutes").value)
        )
        shape = Shape(
            minutes=ask.minutes,
            balls=int(balls.value),
            ball_mm=int(size.value),
            every_seconds=int(every.value),
            quiet_minutes=int(quiet.value),
            lines=lines,
            mix=mix,
        )
        return shape, reasons

    def _wishes(self, shape: Shape) -> dict[tuple[str, str], _Wish]:
        wishes: dict[tuple[str, str], _Wish] = {}
        for (bait, use), wish in (
            *self._mix_wished(shape),
            *self._load_wished(shape),
            *self._fed_wished(),
            *self._hooked_wished(),
        ):
            if wish.amount > 0 and not is_shut_out(bait, ask=self.ask, use=use):
                wishes[bait, use] = wish
        return wishes

    def _mix_wished(self, shape: Shape) -> Iterator[tuple[tuple[str, str], _Wish]]:
        """As much as the balls need and a little more; soil by its share of it."""
        dry = self._dry_shares()
        soil = self._of_kind("soil")
        if not dry:
            return
        rule = self._rule("soil_share")
        share = rule.value if soil else Fraction(0)
        one = ball_litres(Fraction(shape.ball_mm, 1000))
        ready = shape.balls * one / shape.mix.squeeze * self._rule("mix_more").value
        for bait, part in dry.items():
            litres = ready * (1 - share) / shape.mix.swell * part
            reason = Reason("amount", Fraction(0), GEOMETRY, bait=bait, use=DRY)
            yield (bait, DRY), _Wish(self._own(bait, litres, unit="L"), reason)
        if soil:
            reason = Reason("amount", Fraction(0), RULE, rule.source, bait=soil[0], use=SOIL)
            yield (soil[0], SOIL), _Wish(self._own(soil[0], ready * share, unit="L"), reason)

    def _dry_shares(self) -> dict[str, Fraction]:
        """What of the dry mix each bait is: as in the angler's own mix, else one bait alone."""
        litres: dict[str, Fraction] = {}
        for part in self.ask.mix.parts if self.ask.mix else ():
            facts = self.ask.baits.get(part.bait)
            if facts and facts.kind == "groundbait" and not part.after_rest:
                amount = amount_convert(part.amount, unit=part.unit, to="L", density=facts.density)
                if amount and part.bait not in self.left_out:
                    litres[part.bait] = amount
        whole = sum(litres.values(), Fraction(0))
        if whole:
            return {bait: amount / whole for bait, amount in litres.items()}
        return {bait: Fraction(1) for bait in self._of_kind("groundbait")[:1]}

    def _load_wished(self, shape: Shape) -> Iterator[tuple[tuple[str, str], _Wish]]:
        """In the balls: as the records have it, else one particle, as much as they hold."""
        if self.records:
            yield from self._learnt(LOAD, minutes=None)
            return
        rule = self._rule("load_share")
        room = rule.value * shape.balls * ball_litres(Fraction(shape.ball_mm, 1000))
        for bait in self._of_kind("particle")[:1]:
            reason = Reason("amount", Fraction(0), RULE, rule.source, bait=bait, use=LOAD)
            yield (bait, LOAD), _Wish(self._own(bait, room, unit="L"), reason)

    def _fed_wished(self) -> Iterator[tuple[tuple[str, str], _Wish]]:
        learnt = list(self._learnt(FED, minutes=self.ask.minutes))
        if learnt:
            yield from learnt
            return
        share = self._rule("day_share").value * Fraction(self.ask.minutes, HEAVY_DAY_MINUTES)
        for what, baits in (
            ("particle_pints", self._of_kind("particle")[:1]),
            ("animal_pints", self._of_kind("animal")[:_ANIMALS_FED]),
        ):
            rule = self._rule(what)
            for bait in baits:
                amount = self._own(bait, rule.value * share, unit="pint")
                reason = Reason("amount", Fraction(0), RULE, rule.source, bait=bait, use=FED)
                yield (bait, FED), _Wish(amount, reason)

    def _hooked_wished(self) -> Iterator[tuple[tuple[str, str], _Wish]]:
        learnt = list(self._learnt(HOOKED, minutes=None))
        if learnt:
            yield from learnt
            return
        rule = self._rule("hook_pints")
        for bait in self._of_kind("animal")[:1]:
            reason = Reason("amount", Fraction(0), RULE, rule.source, bait=bait, use=HOOKED)
            yield (bait, HOOKED), _Wish(self._own(bait, rule.value, unit="pint"), reason)

    def _learnt(self, use: str, *, minutes: int | None) -> Iterator[tuple[tuple[str, str], _Wish]]:
        for bait in used_mostly(self.records, use=use):
            if bait in self.ask.baits:
                found = amount_learnt(self.by, self.records, bait=bait, use=use, minutes=minutes)
                if not found.value:
                    continue  # it all came back: then as where nothing is known
                yield (bait, use), _Wish(found.value, _of(found, what="amount", bait=bait, use=use))

    def _of_kind(self, kind: str) -> list[str]:
        """Baits of the kind in the order of the list; live animal bait of no special sort."""
        return [
            key
            for key, facts in self.ask.baits.items()
            if facts.kind == kind
            and key not in self.left_out
            and (kind != "animal" or not (facts.dead or facts.family))
            and self._own(key, Fraction(1), unit="L") > 0
        ]

    def _own(self, bait: str, amount: Fraction, *, unit: str) -> Fraction:
        """The amount in the bait's own unit, nothing where the two do not mix."""
        facts = self.ask.baits[bait]
        found = amount_convert(amount, unit=unit, to=facts.unit, density=facts.density)
        return found or Fraction(0)


def _amounts_of(
    mixes: Iterable[PlannedMix],
    stages: Iterable[PlannedStage],
    *,
    baits: Mapping[str, BaitFacts],
) -> dict[tuple[str, str], Fraction]:
    """What the built plan needs of each bait for each use."""
    found: dict[tuple[str, str], Fraction] = {}
    for mix in mixes:
        for part in mix.parts:
            found[part.bait, SOIL if part.after_rest else DRY] = part.amount
    uses = {MIX: LOAD, FEED: FED, HOOK: HOOKED}
    for total in plan_totals(tuple(stages), baits=baits, spare_percent=0):
        for use, amount in total.uses.items():
            found[total.bait, uses[use]] = amount
    return found


def _if_cut(wished: Fraction, kept: Fraction | None) -> Fraction | None:
    return wished if kept is None or kept < wished else None


def _of(learnt: Learnt, *, what: str, bait: str = "", use: str = "") -> Reason:
    return Reason(
        what,
        learnt.value,
        learnt.by,
        bait=bait,
        use=use,
        matches=learnt.matches,
        told=learnt.told,
        low=learnt.low,
        high=learnt.high,
    )


def _true_only(reasons: Iterable[Reason], *, stages: Sequence[PlannedStage]) -> Iterator[Reason]:
    """Reasons of what the plan has: no balls of a plan without any, and its true numbers."""
    balls = next((stage.balls for stage in stages if stage.balls), None)
    every = next((stage.every_seconds for stage in stages if stage.every_seconds), None)
    true = {"balls": balls and balls.count, "every_seconds": every}
    for reason in reasons:
        needs = balls if reason.what in ("balls", "ball_mm", "soil_share") else every
        found = true.get(reason.what) or reason.value
        if needs is None and reason.what != "amount":
            continue
        if reason.what == "balls" and found < reason.value:
            yield replace(reason, value=Fraction(found), wished=reason.value)
        elif reason.what == "every_seconds" and found > reason.value:
            yield replace(reason, value=Fraction(found), by=MEASURABLE)
        else:
            yield replace(reason, value=Fraction(found))
