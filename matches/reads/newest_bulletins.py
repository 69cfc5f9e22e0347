"""What is published of matches now."""

from __future__ import annotations

from django.db.models import OuterRef, QuerySet, Subquery

from matches.models import Bulletin


def newest_bulletins() -> QuerySet[Bulletin]:
    """Of every match with a bulletin the newest one, all in one query."""
    newest = Bulletin.objects.filter(match=OuterRef("match")).order_by("-number").values("pk")[:1]
    return Bulletin.objects.filter(pk=Subquery(newest))
