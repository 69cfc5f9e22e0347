"""A plan's limits as bars: how much of each is used, and what to leave out to fit."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction

from django.utils.translation import gettext as _

from bait.models import Bait
from bait.reckon.limit_drops import Cap, caps_of_all, caps_of_each, caps_of_one, spare_fitting
from bait.reckon.limits import FOR_HOOK, LimitUse

from .baits import bait_facts


@dataclass(frozen=True, slots=True)
class CapShown:
    """Carry at most `kept`, which is `left_out` less than planned, both in the bait's `unit`.

    `before_spare` is what to write in the plan, where the spare comes on top; None without spare.
    """

    what: str
    unit: str
    kept: Fraction
    left_out: Fraction
    before_spare: Fraction | None


@dataclass(frozen=True, slots=True)
class LimitBar:
    """One limit as a bar in picture units of 100; a bar that is over is full and marked.

    `ways` fit by one bait alone, the least first; `each` by a little of everything; `spare` by
    that much spare, in percent, where it is enough.
    """

    name: str
    use: LimitUse
    width: str
    unjudged: tuple[str, ...]
    ways: tuple[CapShown, ...]
    each: tuple[CapShown, ...]
    spare: int | None

    @property
    def over(self) -> bool:
        return self.use.within is False

    @property
    def more_ways(self) -> bool:
        """Whether there is another way to fit than the first."""
        return self.spare is not None or len(self.ways) > 1 or bool(self.ways and self.each)

    @property
    def forbids(self) -> bool:
        return self.use.rule.forbids


@dataclass(frozen=True, slots=True)
class LimitsShown:
    """The bars of all limits; `fit_all` is how to fit every one where several are broken."""

    bars: tuple[LimitBar, ...] = ()
    fit_all: tuple[CapShown, ...] = ()

    def __iter__(self) -> Iterator[LimitBar]:
        return iter(self.bars)

    @property
    def flagged(self) -> LimitsShown:
        """Only the bars that are over or cannot be judged."""
        kept = (
            bar for bar in self.bars if bar.over or (bar.unjudged and bar.use.allowed_l is not None)
        )
        return LimitsShown(tuple(kept), self.fit_all)


def limits_shown(
    uses: Sequence[LimitUse], *, baits: Mapping[str, Bait], spare_percent: int
) -> LimitsShown:
    """A bar for each limit, in their order, of a plan with that much spare."""
    return LimitsShown(
        tuple(_bar(use, baits=baits, spare_percent=spare_percent) for use in uses),
        _fit_all(uses, baits=baits, spare_percent=spare_percent),
    )


def _fit_all(
    uses: Sequence[LimitUse], *, baits: Mapping[str, Bait], spare_percent: int
) -> tuple[CapShown, ...]:
    """Empty unless several are broken."""
    if sum(use.within is False for use in uses) < 2:
        return ()
    carried = {(line.bait, line.use, line.mix): line for use in uses for line in use.lines}
    caps = caps_of_all(
        [use.rule for use in uses],
        carried=tuple(carried.values()),
        baits={key: bait_facts(bait) for key, bait in baits.items()},
    )
    return _caps_shown(caps, baits=baits, spare_percent=spare_percent)


def limit_name(use: LimitUse) -> str:
    """A part's own name, or what one of the two wholes is called."""
    if use.rule.part:
        return use.name
    return _("Groundbait, soil and particles") if use.name == "groundbait" else _("Animal bait")


def _bar(use: LimitUse, *, baits: Mapping[str, Bait], spare_percent: int) -> LimitBar:
    ways = caps_of_one(use)
    each = caps_of_each(use)
    return LimitBar(
        name=limit_name(use),
        use=use,
        width=_width(use),
        unjudged=tuple(baits[key].name for key in use.unjudged),
        ways=_caps_shown(ways, baits=baits, spare_percent=spare_percent),
        each=_caps_shown(each, baits=baits, spare_percent=spare_percent) if each != ways else (),
        spare=spare_fitting(use, spare_percent=spare_percent),
    )


def _width(use: LimitUse) -> str:
    if use.within is False:
        return "100"
    part = use.used_l / use.allowed_l if use.allowed_l else Fraction(0)
    return str(round(part * 100))


def _caps_shown(
    caps: Sequence[Cap], *, baits: Mapping[str, Bait], spare_percent: int
) -> tuple[CapShown, ...]:
    return tuple(_cap_shown(cap, baits=baits, spare_percent=spare_percent) for cap in caps)


def _cap_shown(cap: Cap, *, baits: Mapping[str, Bait], spare_percent: int) -> CapShown:
    what = baits[cap.bait].name
    if cap.use == FOR_HOOK:
        what = _("%(bait)s for the hook") % {"bait": what}
    elif cap.mixes:
        what = _("%(bait)s in the mix %(mixes)s") % {"bait": what, "mixes": ", ".join(cap.mixes)}
    before = cap.kept * 100 / (100 + spare_percent)
    return CapShown(
        what,
        cap.unit,
        kept=cap.kept,
        left_out=cap.left_out,
        # Rounded down to the hundredth, so that the spare does not lift it above.
        before_spare=Fraction(before * 100 // 1, 100) if spare_percent else None,
    )
