"""The trail of changes: how long it is, whether its chain holds, and what its rows say."""

from __future__ import annotations

from dataclasses import dataclass, replace

from django.db.models import Exists, IntegerField, OuterRef, Q, QuerySet, Subquery, Value
from django.db.models.functions import Coalesce

from matches.models import AuditEntry, Club, Person, TrailHead
from matches.reckon.trail import ERASING, JUNIOR, START, Misfit, TrailRow, TrailWalked, trail_walk

from .access import club_for_secretary

CHUNK = 2_000
PAGE = 40


def trail_length(club: str) -> Coalesce:
    """How many rows the trail of a club has, as a part of another query; `club` is the path to it.

    Every change leaves a row in its own transaction and none is ever taken away. So of two reads
    that find the same length, nothing was committed for the club from the first to the second.
    """
    length = TrailHead.objects.filter(pk=OuterRef(club)).values("length")
    return Coalesce(Subquery(length, output_field=IntegerField()), Value(0))


def chain_of(club_id: int | None) -> int:
    """The number of a club's chain; that of the rows of no club is 0."""
    return club_id or 0


def trail_row(entry: AuditEntry) -> TrailRow:
    """A stored row as the chain reckons with it."""
    return TrailRow(
        number=entry.number,
        club=entry.club_id,
        person=entry.person_id,
        at=entry.at,
        verb=entry.verb,
        subject=entry.subject,
        detail=entry.detail,
        salt=entry.salt,
        said=entry.said,
        digest=entry.digest,
    )


def chain_rows(club_id: int | None) -> QuerySet[AuditEntry]:
    """The rows of one chain, from its first."""
    return AuditEntry.objects.filter(chain_is(club_id)).order_by("number", "pk")


def chain_is(club_id: int | None) -> Q:
    """The condition for rows of that club's chain; None asks for the rows of no club."""
    return Q(club=club_id) if club_id else Q(club__isnull=True)


def chains() -> list[Club | None]:
    """Every chain there is: each club's, and that of the rows of no club."""
    return [None, *Club.objects.order_by("pk")]


def chain_head(club_id: int | None) -> tuple[int, str]:
    """How many rows the chain has and the digest of its last, as they were written last."""
    head = TrailHead.objects.filter(pk=chain_of(club_id)).first()
    return (head.length, head.digest) if head else (0, START)


def chain_walked(club_id: int | None) -> TrailWalked:
    """Whether a club's chain holds, to its end. Three queries; the rows come one at a time.

    What is written meanwhile may be among the rows or not: the chain has to lead through the end
    as it was before, and no further than the end as it is afterwards.
    """
    before = chain_head(club_id)
    rows = chain_rows(club_id).iterator(chunk_size=CHUNK)
    walked = trail_walk(map(trail_row, rows), head=before)
    most, _digest = chain_head(club_id)
    if walked.misfit is None and walked.length > most:
        return replace(walked, misfit=Misfit.HEAD, number=most + 1)
    return walked


def redactions(what: str) -> dict[int, str]:
    """By number of what was published ("bulletins" or "tables"): the digest of what it was made to
    say when somebody's name was last taken out of it. One query."""
    listing = AuditEntry.objects.filter(verb__in=(ERASING, JUNIOR)).order_by("pk")
    rows = listing.values_list("detail", flat=True)
    return {pk: digest for detail in rows for pk, digest in detail.get(what, [])}


@dataclass(frozen=True, slots=True)
class HeadFound:
    """What became of a head that somebody noted: the row that has it, and how the chain leads
    through it. `row` is None where no row ever had it, or none has it any more."""

    row: AuditEntry | None
    walked: TrailWalked | None


def trail_seen(
    person: Person, *, club: Club, kind: Q, who: int | None, before: int | None
) -> list[AuditEntry]:
    """A page of the club's trail, the newest rows first, and one row more where there are older.

    `before`: only rows with a smaller number. `who`: only what this person did. Raises Problem
    NOT_FOUND or NOT_ALLOWED. Three queries.
    """
    club = club_for_secretary(person, slug=club.slug)
    rows = AuditEntry.objects.filter(kind, club=club)
    if who is not None:
        rows = rows.filter(person=who)
    if before is not None:
        rows = rows.filter(number__lt=before)
    return list(rows.select_related("person").order_by("-number")[: PAGE + 1])


def trail_people(club: Club) -> list[Person]:
    """Everybody who has changed something of the club, by name. One query."""
    did = AuditEntry.objects.filter(club=club, person=OuterRef("pk"))
    return sorted(Person.objects.filter(Exists(did)), key=lambda one: one.name)


def head_look(club: Club, *, digest: str) -> HeadFound:
    """Look for a head that was noted earlier, and walk the chain through it. Two queries; the rows
    come one at a time."""
    row = AuditEntry.objects.filter(club=club, digest=digest).first()
    if row is None:
        return HeadFound(None, None)
    rows = chain_rows(club.pk).iterator(chunk_size=CHUNK)
    return HeadFound(row, trail_walk(map(trail_row, rows), head=(row.number, digest)))
