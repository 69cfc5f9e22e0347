"""The plan editor's form: changed row by row, and turned into the plan it stands for."""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import dataclass, field, replace
from typing import Any

from django.utils.translation import gettext as _

from bait.writes.mix_content import MIX_RANGES
from matches.comma_words import comma_words
from matches.reckon.decimals import digits_read, point_typed
from matches.reckon.errors import Fault, pointer
from web.measures_said import numeral

from .plan_rows import FeedRow, MixRow, StageRow, SubstituteRow

#: How the reader of plans says what a field of numbers takes.
RANGED = re.compile(r"Write a decimal string from (\S+) to (\S+), with at most (\d+) places\.")


@dataclass
class PlanForm:
    """What stands in the editor, as text; `faults` are those of no one field."""

    version: str = "0"
    spare_percent: str = "10"
    note: str = ""
    mixes: list[MixRow] = field(default_factory=list)
    stages: list[StageRow] = field(default_factory=list)
    substitutes: list[SubstituteRow] = field(default_factory=list)
    faults: dict[str, str] = field(default_factory=dict)

    def edit(self, action: str, *, length_minutes: int) -> bool:
        """Add or drop a row: "add-stage", "drop-stage-1", "add-feed-1", "drop-feed-1-0", and so
        with "mix", "part" and "substitute"; "add-hook" is a stage of hook baits. The stage or mix
        it was done in is the one in work.

        False for any other action, or a row that is not there.
        """
        verb, _dash, rest = action.partition("-")
        what, _dash, where = rest.partition("-")
        at = [n for text in where.split("-") if (n := digits_read(text)) is not None]
        try:
            if verb == "add":
                return self._add(what, at, end=str(length_minutes))
            return verb == "drop" and self._drop(what, at)
        except IndexError:
            return False

    def _add(self, what: str, at: list[int], *, end: str) -> bool:
        match what, at:
            case "stage", []:
                self.stages.append(StageRow(feeds=[FeedRow()], in_work=True))
            case "hook", []:
                hook = StageRow("hook", end_minute=end, feeds=[FeedRow()], in_work=True)
                self.stages.append(hook)
            case "mix", []:
                name = _("base") if not self.mixes else ""
                parts = [FeedRow(), FeedRow(after_rest=True)]
                self.mixes.append(MixRow(name, parts=parts, in_work=True))
            case "substitute", []:
                self.substitutes.append(SubstituteRow())
            case "feed", [n]:
                self.stages[n].feeds.append(FeedRow())
                self.stages[n].in_work = True
            case "part", [n]:
                self.mixes[n].parts.append(FeedRow())
                self.mixes[n].in_work = True
            case _:
                return False
        return True

    def _drop(self, what: str, at: list[int]) -> bool:
        match what, at:
            case "stage", [n]:
                del self.stages[n]
            case "mix", [n]:
                self._mix_drop(n)
            case "substitute", [n]:
                del self.substitutes[n]
            case "feed", [n, m]:
                del self.stages[n].feeds[m]
                self.stages[n].in_work = True
            case "part", [n, m]:
                del self.mixes[n].parts[m]
                self.mixes[n].in_work = True
            case _:
                return False
        return True

    def _mix_drop(self, gone: int) -> None:
        """Balls of a later mix keep to it; those of this one must be told another."""
        del self.mixes[gone]
        for stage in self.stages:
            if stage.balls_mix.isdigit():
                n = int(stage.balls_mix)
                stage.balls_mix = "" if n == gone else str(n - (n > gone))

    def trimmed(self) -> PlanForm:
        """The form without the rows nobody filled in. The others share their `faults` with this
        form's, so that what is wrong is marked here, where no row moved.
        """
        kept = [n for n, mix in enumerate(self.mixes) if not mix.blank]
        places = {str(n): "" for n in range(len(self.mixes))}
        places |= {str(n): str(place) for place, n in enumerate(kept)}
        return replace(
            self,
            mixes=[replace(self.mixes[n], parts=_filled(self.mixes[n].parts)) for n in kept],
            stages=[
                replace(
                    stage,
                    balls_mix=places.get(stage.balls_mix, stage.balls_mix),
                    feeds=_filled(stage.feeds),
                )
                for stage in self.stages
            ],
            substitutes=[pair for pair in self.substitutes if not pair.blank],
        )

    def as_raw(self) -> tuple[dict[str, Any], list[Fault]]:
        """The plan as it is sent in, and what is not even a number, where it stands."""
        faults: list[Fault] = []

        def whole(text: str, *where: str | int) -> int:
            try:
                return int(text.strip().replace("−", "-") or "0")
            except ValueError:
                faults.append(Fault(pointer(*where), _("Write a whole number here.")))
                return 0

        def balls(stage: StageRow, n: int) -> dict[str, Any] | None:
            if not stage.has_balls:
                return None
            at = digits_read(stage.balls_mix, most=len(self.mixes) - 1)
            return {
                "count": whole(stage.balls_count, "stages", n, "balls", "count"),
                "mm": whole(stage.balls_mm or "80", "stages", n, "balls", "mm"),
                "mix": "" if at is None else self.mixes[at].name.strip(),
            }

        raw = {
            "version": whole(self.version, "version"),
            "spare_percent": whole(self.spare_percent, "spare_percent"),
            "note": self.note,
            "mixes": [
                {
                    "name": mix.name,
                    "rest_minutes": whole(mix.rest_minutes, "mixes", n, "rest_minutes"),
                    **{key: point_typed(getattr(mix, key)) for key in MIX_RANGES},
                    "parts": [
                        {**_amount(part), "after_rest": part.after_rest} for part in mix.parts
                    ],
                }
                for n, mix in enumerate(self.mixes)
            ],
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
                    "balls": balls(stage, n),
                    "feeds": [_amount(feed) for feed in stage.feeds],
                }
                for n, stage in enumerate(self.stages)
            ],
            "substitutes": [
                {"bait": pair.bait, "instead": pair.instead} for pair in self.substitutes
            ],
        }
        return raw, faults

    def faults_place(self, faults: Iterable[Fault]) -> None:
        """Put each fault at its row; the first one of a field stays."""
        for fault in faults:
            held, key = self._row_of(fault.pointer.split("/")[1:])
            held.setdefault(key, _form_words(fault.message))
        rows = [row for stage in self.stages for row in stage.feeds]
        rows += [row for mix in self.mixes for row in mix.parts]
        for row in rows:
            if "amount" in row.faults:
                row.faults["amount"] = comma_words(row.amount, otherwise=row.faults["amount"])

    def _row_of(self, parts: list[str]) -> tuple[dict[str, str], str]:
        """The faults of the row a pointer leads to, and the field there."""
        match parts:
            case ["stages", n, "feeds", m, key] if m.isdigit():
                return self.stages[int(n)].feeds[int(m)].faults, key
            case ["mixes", n, "parts", m, key] if m.isdigit():
                return self.mixes[int(n)].parts[int(m)].faults, key
            case ["stages", n, "balls", key]:
                return self.stages[int(n)].faults, f"balls_{key}"
            case ["stages", n, key] if n.isdigit():
                return self.stages[int(n)].faults, key
            case ["mixes", n, key] if n.isdigit():
                return self.mixes[int(n)].faults, key
            case ["substitutes", n, key] if n.isdigit():
                return self.substitutes[int(n)].faults, key
            case [key]:
                return self.faults, key
            case _:
                return self.faults, "plan"


def _filled(rows: list[FeedRow]) -> list[FeedRow]:
    return [row for row in rows if not row.blank]


def _amount(row: FeedRow) -> dict[str, str]:
    return {"bait": row.bait, "amount": point_typed(row.amount), "unit": row.unit}


def _form_words(message: str) -> str:
    """Words of the JSON reader that make no sense beside a form's field, said otherwise."""
    if message.startswith("Write a decimal string such as"):
        return _("Write how much, such as 0.25: above zero, at most four places.")
    if ranged := RANGED.fullmatch(message):
        least, most, places = ranged.groups()
        return _(
            "Write a number from %(least)s to %(most)s, with at most %(places)s decimal places."
        ) % {"least": numeral(least), "most": numeral(most), "places": places}
    if message.startswith("Write an id"):
        return _("Choose a bait.")
    if message.startswith("Use one of"):
        return _("Choose one of the list.")
    return message
