"""The order calculator's answer to one set of inputs, and its refusals in a captain's words."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Any

from django.utils.translation import gettext as _

from bait.reads.order_inputs import OrderInputs
from bait.reckon.order import order_parse, order_work_out
from matches.reckon.errors import BadInput, Fault


def order_answer(
    request: Mapping[str, Any], *, progress: Callable[[int, str], None]
) -> dict[str, Any]:
    """The answer as the calculator writes it. Raises BadInput, pointing into `request`."""
    answer = order_work_out(order_parse(request), progress=progress)
    return answer.as_json()


def refusal_words(bad: BadInput, *, inputs: OrderInputs | None) -> str:
    """What was refused, one line a fault, naming the member and the bait where there is one."""
    return "\n".join(_fault_words(fault, inputs=inputs) for fault in bad.faults)


def _fault_words(fault: Fault, *, inputs: OrderInputs | None) -> str:
    row = _row_at(fault.pointer, inputs=inputs) if inputs else None
    if inputs is None or row is None:
        return fault.message
    member = inputs.member_names.get(row.get("member") or "")
    bait = inputs.bait_names.get(row.get("bait") or "")
    place = row.get("supplier")
    named = [part for part in (member, bait, place) if part]
    if not named:
        return fault.message
    return _("%(what)s: %(message)s") % {"what": ", ".join(named), "message": fault.message}


def _row_at(pointer: str, *, inputs: OrderInputs | None) -> dict[str, Any] | None:
    """The demand, lot or pack a pointer leads to."""
    parts = pointer.split("/")
    if inputs is None or len(parts) < 3 or not parts[2].isdigit():
        return None
    rows = inputs.request.get(parts[1])
    at = int(parts[2])
    return rows[at] if isinstance(rows, list) and at < len(rows) else None
