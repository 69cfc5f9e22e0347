"""The match's own fee: who paid it, who owes it, and what is to be given back.

Fetch match and entry through `matches.reads.access` first; these add no check of their own.
"""

from __future__ import annotations

from dataclasses import dataclass

from django.db.models import Sum

from matches.models import FISHING, Entry, FeePayment, Match


@dataclass(frozen=True, slots=True)
class Fee:
    """One entry's account in pence; who has no place (any more) owes nothing."""

    due: int
    paid: int

    @property
    def owes(self) -> int:
        """Pence still to take."""
        return max(0, self.due - self.paid)

    @property
    def to_give_back(self) -> int:
        """Pence taken beyond what is due."""
        return max(0, self.paid - self.due)


def fees_of(match: Match, entries: list[Entry]) -> dict[int, Fee]:
    """Each entry's account by its number: one query."""
    paid = dict(
        FeePayment.objects.filter(entry__match=match, pool__isnull=True)
        .order_by()
        .values_list("entry_id")
        .annotate(Sum("pence"))
    )
    return {e.pk: Fee(fee_due(match, e), paid.get(e.pk, 0)) for e in entries}


def fee_of(match: Match, entry: Entry) -> Fee:
    """What the entry is due for the match and has paid, in pence."""
    return Fee(fee_due(match, entry), fee_paid(entry))


def fee_paid(entry: Entry) -> int:
    """What was taken of the match's fee less what was given back, in pence."""
    rows = FeePayment.objects.filter(entry=entry, pool__isnull=True)
    return rows.aggregate(paid=Sum("pence"))["paid"] or 0


def fee_rows(entry: Entry) -> list[FeePayment]:
    """The payments of the match's fee in their order, with who took them."""
    rows = FeePayment.objects.filter(entry=entry, pool__isnull=True)
    return list(rows.select_related("taken_by"))


def fee_due(match: Match, entry: Entry) -> int:
    """What the entry pays for its place, in pence."""
    return match.fee_pence if entry.status in FISHING else 0
