"""What stands in the plan editor, added up: totals, limits, and the picture."""

from __future__ import annotations

from dataclasses import dataclass, field

from bait.models import Bait
from bait.reads.baits import bait_facts
from bait.reads.limit_bars import LimitsShown, limits_shown
from bait.reads.limits import match_rules, plan_limits
from bait.reckon.plan_picture import plan_curves
from bait.reckon.plans import BaitTotal, Throws, plan_totals
from bait.writes.plan_content import PlanContent, plan_content_parse
from bait.writes.plans import content_check
from matches.models import Entry
from matches.reckon.errors import BadInput, Fault

from .plan_form import PlanForm
from .plan_picture import PlanPicture, plan_picture


@dataclass(frozen=True, slots=True)
class ComesTo:
    """Nothing of it while the form cannot be read; `faults` then say why."""

    totals: tuple[tuple[Bait, BaitTotal], ...] = ()
    limits: LimitsShown = field(default_factory=LimitsShown)
    picture: PlanPicture | None = None
    faults: tuple[Fault, ...] = ()

    @property
    def over(self) -> tuple[str, ...]:
        """The names of the limits it breaks."""
        return tuple(bar.name for bar in self.limits if bar.over)

    @property
    def limited(self) -> bool:
        """Whether there is any limit to keep to."""
        return any(bar.use.allowed_l is not None for bar in self.limits)

    @property
    def unjudged(self) -> bool:
        """Whether some bait cannot be held against a limit there is."""
        return any(bar.unjudged and bar.use.allowed_l is not None for bar in self.limits)


def comes_to(form: PlanForm, *, entry: Entry, baits: dict[str, Bait], throws: Throws) -> ComesTo:
    """The form without its blank rows, so that half a form already adds up. Faults point into it
    as it is `trimmed`.
    """
    try:
        raw, faults = form.trimmed().as_raw()
        if faults:
            raise BadInput(*faults)
        content = plan_content_parse(raw)
        found = _added_up(content, entry=entry, baits=baits, throws=throws)
    except BadInput as bad:
        return ComesTo(faults=bad.faults)
    try:
        content_check(content, entry=entry, baits=baits, throws=throws)
    except BadInput as bad:
        return ComesTo(found.totals, found.limits, found.picture, bad.faults)
    return found


def _added_up(
    content: PlanContent, *, entry: Entry, baits: dict[str, Bait], throws: Throws
) -> ComesTo:
    facts = {key: bait_facts(bait) for key, bait in baits.items()}
    totals = plan_totals(
        content.planned,
        baits=facts,
        spare_percent=content.spare_percent,
        mixes=content.mixes,
        throws=throws,
    )
    limits = plan_limits(
        totals, baits=baits, rules=match_rules(entry.match), mixes=content.mixes, throws=throws
    )
    curves = plan_curves(content.planned, baits=facts, mixes=content.mixes, throws=throws)
    return ComesTo(
        totals=tuple((baits[total.bait], total) for total in totals),
        limits=limits_shown(limits, baits=baits, spare_percent=content.spare_percent),
        picture=plan_picture(curves, baits=baits, length_minutes=entry.match.minutes),
    )
