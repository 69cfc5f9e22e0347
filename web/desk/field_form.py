"""A form of plain fields: what was typed stays, each fault stands at its field."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field

from matches.reckon.errors import Fault
from matches.writes.page_marks import page_mark


@dataclass
class FieldForm:
    """Values and faults by the field's name; `others` are faults of no field shown. `told`: that
    somebody changed what stands since the page was opened.
    """

    values: dict[str, str]
    faults: dict[str, str] = field(default_factory=dict)
    others: list[str] = field(default_factory=list)
    told: bool = False

    def faults_place(self, faults: Iterable[Fault]) -> None:
        """The first fault of a field stays; what has no field is told above the form."""
        for fault in faults:
            key = fault.pointer.removeprefix("/")
            self.told |= key == "mark"
            if key in self.values:
                self.faults.setdefault(key, fault.message)
            else:
                self.others.append(fault.message)


def form_sent(sent: Mapping[str, str], *, names: Sequence[str]) -> FieldForm:
    """The named fields as they were sent, empty where they were not."""
    return FieldForm({name: sent.get(name, "") for name in names})


def mark_shown(sent: Mapping[str, str], *, stands: Mapping[str, str], told: bool) -> str:
    """The mark for a page that shows what `stands`. Sent and shown again it stays as old as it is
    until its reader is `told`; then the next save is meant."""
    mark = sent.get("mark", "")
    return mark if mark and not told else page_mark(stands)
