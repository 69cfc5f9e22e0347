"""A form of plain fields: what was typed stays, each fault stands at its field."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field

from matches.reckon.errors import Fault


@dataclass
class FieldForm:
    """Values and faults by the field's name; `others` are faults of no field shown."""

    values: dict[str, str]
    faults: dict[str, str] = field(default_factory=dict)
    others: list[str] = field(default_factory=list)

    def faults_place(self, faults: Iterable[Fault]) -> None:
        """The first fault of a field stays; what has no field is told above the form."""
        for fault in faults:
            key = fault.pointer.removeprefix("/")
            if key in self.values:
                self.faults.setdefault(key, fault.message)
            else:
                self.others.append(fault.message)


def form_sent(sent: Mapping[str, str], *, names: Sequence[str]) -> FieldForm:
    """The named fields as they were sent, empty where they were not."""
    return FieldForm({name: sent.get(name, "") for name in names})
