"""What phones were told, held against what is in the database."""

from __future__ import annotations

from collections.abc import Sequence

from django.db import connection

from matches.models import Club, Fact, WeighIn

from .phones import Phone


def stored_check(phones: Sequence[Phone]) -> str:
    """What is wrong once all are through, in words; empty when nothing is."""
    strange = [one for phone in phones for one in phone.strange]
    if strange:
        return f"refused: {strange[0]}"
    left = sum(not phone.stored.issuperset(part) for phone in phones for part in phone.ids)
    if left:
        return f"{left} batches not stored in time"
    return told_check(phones) or _whole_check()


def told_check(phones: Sequence[Phone]) -> str:
    """Whether any fact that a phone was told is stored is not there; phones may go on meanwhile."""
    told = set().union(*(set(phone.stored) for phone in phones))
    there = {str(pk) for pk in Fact.objects.values_list("pk", flat=True)}
    missing = len(told - there)
    return f"{missing} facts told as stored are missing" if missing else ""


def _whole_check() -> str:
    """The counter has no hole, no phone's number stands twice, each weigh-in is what stands."""
    for club in Club.objects.all():
        numbers = list(
            Fact.objects.filter(club=club).order_by("cseq").values_list("cseq", flat=True)
        )
        if numbers != list(range(1, club.fact_counter + 1)):
            return f"the counter of {club.slug} has holes"
    pairs = list(Fact.objects.values_list("device", "seq"))
    if len(pairs) != len(set(pairs)):
        return f"{len(pairs) - len(set(pairs))} facts stand twice"
    weighed = set(Fact.objects.filter(kind="weigh_in").values_list("pk", flat=True))
    if weighed != set(WeighIn.objects.values_list("fact_id", flat=True)):
        return "what stands is not what was weighed"
    connection.close()
    return ""
