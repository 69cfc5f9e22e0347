"""What is typed to bring bait into a larder, and what it stands for."""

from __future__ import annotations

import datetime as dt
import uuid
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from decimal import Decimal
from typing import Any

from django.utils.dateparse import parse_date
from django.utils.translation import gettext as _

from bait.models import Bait
from bait.reckon.units import amount_read
from matches.comma_words import comma_words
from matches.models import Angler
from matches.problems import Code, Problem
from matches.reckon.decimals import decimal_text, point_typed
from matches.reckon.errors import BadInput, Fault


@dataclass
class BringForm:
    """What stands in the form, as text; `faults` by field."""

    key: str = ""
    bait: str = ""
    amount: str = ""
    unit: str = ""
    state: str = "fresh"
    whose: str = ""
    bought_on: str = ""
    use_by: str = ""
    note: str = ""
    faults: dict[str, str] = field(default_factory=dict)

    @classmethod
    def typed(cls, post: Mapping[str, Any]) -> BringForm:
        form = cls()
        for name in (
            "key",
            "bait",
            "amount",
            "unit",
            "state",
            "whose",
            "bought_on",
            "use_by",
            "note",
        ):
            setattr(form, name, str(post.get(name, "")).strip()[:200])
        return form

    def refused(self, bad: BadInput) -> None:
        """Say what is wrong beside its field."""
        for fault in bad.faults:
            self.faults.setdefault(fault.pointer.strip("/").split("/")[0] or "form", fault.message)

    def lot(self, *, baits: Mapping[str, Bait], anglers: Sequence[Angler], today: dt.date) -> Any:
        """The arguments of `lot_bring`. Raises BadInput, pointing at each field."""
        faults = []
        if self.bait not in baits:
            faults.append(Fault("/bait", _("Choose one of the club's baits.")))
        amount = amount_typed(self.amount)
        if amount is None:
            faults.append(
                Fault(
                    "/amount",
                    comma_words(
                        self.amount, otherwise=_("Write an amount above zero, such as 1.5.")
                    ),
                )
            )
        days = {name: _day(getattr(self, name)) for name in ("bought_on", "use_by")}
        for name, day in days.items():
            if getattr(self, name) and day is None:
                faults.append(Fault(f"/{name}", _("Write a day such as 2026-06-20.")))
        whose = {str(angler.pk): angler for angler in anglers}
        if self.whose and self.whose not in whose:
            faults.append(Fault("/whose", _("Choose one of the list.")))
        if faults:
            raise BadInput(*faults)
        return {
            "bait": baits[self.bait],
            "amount": amount,
            "unit": self.unit or baits[self.bait].unit,
            "state": self.state,
            "angler": whose.get(self.whose),
            "on": days["bought_on"] or today,
            "use_by": days["use_by"],
            "note": self.note,
            "key": key_typed(self.key),
        }


def amount_typed(text: str, *, zero: bool = False) -> Decimal | None:
    """An amount as people write it, with a point or a comma; None for anything else."""
    value = amount_read(point_typed(text), zero=zero)
    return None if value is None else Decimal(decimal_text(value))


def key_typed(text: str) -> uuid.UUID:
    """The key the page was made with. Raises Problem CONFLICT for none."""
    try:
        return uuid.UUID(text)
    except ValueError as bad:
        raise Problem(Code.CONFLICT, _("Open the page again, then repeat.")) from bad


def _day(text: str) -> dt.date | None:
    try:
        return parse_date(text)
    except ValueError:
        return None
