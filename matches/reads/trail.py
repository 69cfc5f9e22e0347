"""How much was written for a club: what tells whether anything of it has changed."""

from __future__ import annotations

from django.db.models import Count, IntegerField, OuterRef, Subquery, Value
from django.db.models.functions import Coalesce

from matches.models import AuditEntry


def trail_length(club: str) -> Coalesce:
    """How many rows the trail of a club has, as a part of another query; `club` is the path to it.

    Every change leaves a row in its own transaction and none is ever taken away. So of two reads
    that find the same length, nothing was committed for the club from the first to the second,
    in whatever order numbers are given out: a row with a lower number that is committed later
    lengthens the trail like any other.
    """
    rows = AuditEntry.objects.filter(club=OuterRef(club)).order_by().values("club")
    length = rows.annotate(length=Count("*")).values("length")
    return Coalesce(Subquery(length, output_field=IntegerField()), Value(0))
