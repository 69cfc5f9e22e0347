"""What the plan editor says in a line: each mix and stage that is folded, and the throws."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from django.utils.translation import gettext as _

from bait.models import Bait, StageKind, Throw
from bait.reckon.plans import THROW_ML, Throws
from web.templatetags.money import amount

from .plan_form import PlanForm
from .plan_rows import FeedRow, MixRow, StageRow


def rows_say(form: PlanForm, *, baits: Mapping[str, Bait]) -> None:
    """Write into each mix and stage the line it folds to."""
    for mix in form.mixes:
        mix.said = _mix_said(mix, baits=baits)
    for stage in form.stages:
        stage.said = _stage_said(stage, baits=baits)


def _mix_said(mix: MixRow, *, baits: Mapping[str, Bait]) -> str:
    parts = _names(mix.parts, baits=baits) or _("nothing in it yet")
    return f"{mix.name.strip()}: {parts}" if mix.name.strip() else parts


def _stage_said(stage: StageRow, *, baits: Mapping[str, Bait]) -> str:
    """Such as "Feed long, 0 to 180 min, every 240 s: 8 balls, Hemp"."""
    kind = stage.kind if stage.kind in StageKind.values else StageKind.FEED
    what = " ".join([str(StageKind(kind).label).capitalize(), stage.line.strip()]).strip()
    when = _("%(start)s to %(end)s min") % {
        "start": _minute(stage.start_minute),
        "end": _minute(stage.end_minute),
    }
    head = [what, when]
    if stage.every_seconds.strip():
        head.append(_("every %(n)s s") % {"n": stage.every_seconds.strip()})
    goes_in = [_("%(n)s balls") % {"n": stage.balls_count.strip()}] if stage.has_balls else []
    named = _names(stage.feeds, baits=baits)
    goes_in += [named] if named else []
    return f"{', '.join(head)}: {', '.join(goes_in) or _('no bait yet')}"


def _minute(text: str) -> str:
    return text.strip().replace("-", "−") or "?"


def _names(rows: Iterable[FeedRow], *, baits: Mapping[str, Bait]) -> str:
    return ", ".join(baits[row.bait].name for row in rows if row.bait in baits)


def throws_said(throws: Throws, *, baits: Mapping[str, Bait]) -> list[str]:
    """Each throw with the millilitres that are in force, and whether the angler measured them."""
    said = []
    for throw in Throw:
        own = throws.get((throw.value, None))
        words = _("a %(throw)s %(ml)s ml (yours, measured)") if own else _("a %(throw)s %(ml)s ml")
        ml = own or THROW_ML[throw.value, None]
        said.append(words % {"throw": throw.label, "ml": amount(ml)})
    for (kind, bait), ml in throws.items():
        if bait is not None and bait in baits:
            words = _("a %(throw)s of %(bait)s %(ml)s ml (yours, measured)")
            named = {"throw": Throw(kind).label, "bait": baits[bait].name, "ml": amount(ml)}
            said.append(words % named)
    return said
