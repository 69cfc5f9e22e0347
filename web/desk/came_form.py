"""The form in which a captain writes what came of the placed order, line by line."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from django.utils.translation import gettext as _

from bait.models import OrderLine
from bait.reads.order_marks import CamePacks
from bait.writes.order_life import Came
from matches.reckon.errors import BadInput, Fault, pointer

from .form_numbers import whole_typed

PACKS, NOTE = "came-", "note-"


@dataclass(frozen=True, slots=True)
class CameField:
    """A placed line with what stands in its two fields, and what is wrong there."""

    line: OrderLine
    packs: str
    note: str
    fault: str = ""


def came_read(sent: Mapping[str, str]) -> dict[int, Came]:
    """What was written, by pack. Raises BadInput pointing at /lines/<pack>/packs."""
    found, faults = {}, []
    for key in sent:
        pack = key.removeprefix(PACKS)
        if pack == key:
            continue
        packs = whole_typed(sent[key])
        if packs is None or whole_typed(pack) is None:
            words = _("Write a whole number of packs, from 0 up.")
            faults.append(Fault(pointer("lines", pack, "packs"), words))
        else:
            found[int(pack)] = Came(packs, sent.get(NOTE + pack, "").strip())
    if faults:
        raise BadInput(*faults)
    return found


def came_fields(
    lines: Iterable[OrderLine],
    *,
    kept: Mapping[int, CamePacks],
    sent: Mapping[str, str],
    faults: Iterable[Fault],
) -> list[CameField]:
    """The fields: what was just sent and refused, else what was written before, else as ordered."""
    wrong = {fault.pointer.split("/")[2]: fault.message for fault in faults}
    fields = []
    for line in lines:
        pack, before = str(line.pack_id), kept.get(line.pack_id)
        packs = str(before.packs if before else line.packs)
        note = before.note if before else ""
        fields.append(
            CameField(
                line,
                sent.get(PACKS + pack, packs),
                sent.get(NOTE + pack, note),
                wrong.get(pack, ""),
            )
        )
    return fields
