"""The plan editor's form: read from what was sent, changed row by row, shown again whole."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from typing import Any

from django.utils.translation import gettext as _

from bait.models import Plan
from bait.reckon.plans import MOST_FEEDS, MOST_STAGES
from matches.reckon.errors import Fault, pointer

STAGE_FIELDS = ("kind", "line", "start_minute", "end_minute", "every_seconds", "note")
FEED_FIELDS = ("bait", "amount", "unit")


@dataclass
class FeedRow:
    bait: str = ""
    amount: str = ""
    unit: str = ""
    faults: dict[str, str] = field(default_factory=dict)

    @property
    def blank(self) -> bool:
        return not self.bait and not self.amount


@dataclass
class StageRow:
    kind: str = "feed"
    line: str = ""
    start_minute: str = "0"
    end_minute: str = ""
    every_seconds: str = ""
    note: str = ""
    feeds: list[FeedRow] = field(default_factory=list)
    faults: dict[str, str] = field(default_factory=dict)


@dataclass
class PlanForm:
    """What stands in the editor, as text; `faults` are those of no one field."""

    version: str = "0"
    spare_percent: str = "10"
    note: str = ""
    stages: list[StageRow] = field(default_factory=list)
    faults: dict[str, str] = field(default_factory=dict)

    def edit(self, action: str) -> bool:
        """Add or drop a row: "add-stage", "drop-stage-1", "add-feed-1", "drop-feed-1-0".

        False for any other action, or a row that is not there.
        """
        verb, _dash, rest = action.partition("-")
        what, _dash, where = rest.partition("-")
        at = [int(n) for n in where.split("-") if n.isascii() and n.isdigit() and len(n) < 9]
        try:
            match verb, what, at:
                case "add", "stage", []:
                    self.stages.append(StageRow(feeds=[FeedRow()]))
                case "drop", "stage", [n]:
                    del self.stages[n]
                case "add", "feed", [n]:
                    self.stages[n].feeds.append(FeedRow())
                case "drop", "feed", [n, m]:
                    del self.stages[n].feeds[m]
                case _:
                    return False
        except IndexError:
            return False
        return True

    def trim(self) -> None:
        """Leave out the rows nobody filled in."""
        for stage in self.stages:
            stage.feeds = [feed for feed in stage.feeds if not feed.blank]

    def as_raw(self) -> tuple[dict[str, Any], list[Fault]]:
        """The plan as it is sent in, and what is not even a number, where it stands."""
        faults: list[Fault] = []

        def whole(text: str, *where: str | int) -> int:
            try:
                return int(text.strip().replace("−", "-") or "0")
            except ValueError:
                faults.append(Fault(pointer(*where), _("Write a whole number here.")))
                return 0

        raw = {
            "version": whole(self.version, "version"),
            "spare_percent": whole(self.spare_percent, "spare_percent"),
            "note": self.note,
            "stages": [
                {
                    "kind": stage.kind,
                    "line": stage.line,
                    "start_minute": whole(stage.start_minute, "stages", n, "start_minute"),
                    "end_minute": whole(stage.end_minute, "stages", n, "end_minute"),
                    "every_seconds": whole(stage.every_seconds, "stages", n, "every_seconds")
                    if stage.every_seconds.strip()
                    else None,
                    "note": stage.note,
                    "feeds": [
                        {
                            "bait": feed.bait,
                            "amount": feed.amount.strip().replace(",", "."),
                            "unit": feed.unit,
                        }
                        for feed in stage.feeds
                    ],
                }
                for n, stage in enumerate(self.stages)
            ],
        }
        return raw, faults

    def faults_place(self, faults: Iterable[Fault]) -> None:
        """Put each fault at its row; the first one of a field stays."""
        for fault in faults:
            match fault.pointer.split("/")[1:]:
                case ["stages", n, "feeds", m, key] if m.isdigit():
                    held = self.stages[int(n)].feeds[int(m)].faults
                case ["stages", n, key] if n.isdigit():
                    held = self.stages[int(n)].faults
                case [key]:
                    held = self.faults
                case _:
                    held, key = self.faults, "plan"
            held.setdefault(key, _form_words(fault.message))


def _form_words(message: str) -> str:
    """Words of the JSON reader that make no sense beside a form's field, said otherwise."""
    if message.startswith("Write a decimal string"):
        return _("Write how much, such as 0.25: above zero, at most four places.")
    if message.startswith("Write an id"):
        return _("Choose a bait.")
    if message.startswith("Use one of"):
        return _("Choose one of the list.")
    return message


def form_of_plan(plan: Plan, *, version: int | None = None) -> PlanForm:
    """The editor filled from a plan; expects its stages and feeds to be prefetched."""
    return PlanForm(
        version=str(plan.version if version is None else version),
        spare_percent=str(plan.spare_percent),
        note=plan.note,
        stages=[
            StageRow(
                kind=stage.kind,
                line=stage.line,
                start_minute=str(stage.start_minute),
                end_minute=str(stage.end_minute),
                every_seconds="" if stage.every_seconds is None else str(stage.every_seconds),
                note=stage.note,
                feeds=[
                    FeedRow(feed.bait.key, f"{feed.amount.normalize():f}", feed.unit)
                    for feed in stage.feeds.all()
                ],
            )
            for stage in plan.stages.all()
        ],
    )


def form_first(*, length_minutes: int) -> PlanForm:
    """Where somebody without a plan starts: an opening, and a stage for the match."""
    return PlanForm(
        stages=[
            StageRow("opening", start_minute="-10", end_minute="0", feeds=[FeedRow()]),
            StageRow("feed", end_minute=str(length_minutes), feeds=[FeedRow()]),
        ]
    )


def form_sent(sent: Mapping[str, str]) -> PlanForm:
    """The editor as it was sent: rows count up from 0 without a hole."""
    form = PlanForm(
        version=sent.get("version", "0"),
        spare_percent=sent.get("spare_percent", "0"),
        note=sent.get("note", ""),
    )
    for n in range(MOST_STAGES + 1):
        if f"stage-{n}-kind" not in sent:
            break
        stage = StageRow()
        for key in STAGE_FIELDS:
            setattr(stage, key, sent.get(f"stage-{n}-{key}", ""))
        for m in range(MOST_FEEDS + 1):
            if f"stage-{n}-feed-{m}-bait" not in sent:
                break
            bait, amount, unit = (sent.get(f"stage-{n}-feed-{m}-{key}", "") for key in FEED_FIELDS)
            stage.feeds.append(FeedRow(bait, amount, unit))
        form.stages.append(stage)
    return form
