"""Taking one person's data out of a club: a pseudonym stands wherever the name stood.

Results, money and who changed what stay, under numbers that say nothing about anybody. What was
published keeps its digest, and carries another beside it of what it says since; the row that the
trail gets lists both kinds, so that nobody else can change words and call it erasing.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

from django.contrib.admin.models import LogEntry
from django.db.models import CASCADE, Q, QuerySet
from django.utils import timezone
from django.utils.translation import gettext as _

from matches import models as m
from matches.reads.trail import chain_of, chain_rows
from matches.reckon.canonical import canonical_digest
from matches.reckon.names import body_redacted, names_replaced
from matches.reckon.trail import ERASING, SHORTENED, words_digest

from .audit import audit_record

#: Notes are their author's own: their bodies go. Weights, signals and rulings are the match's.
NOTES = (
    *(m.FactKind.FEED_NOTE, m.FactKind.FISH_NOTE, m.FactKind.PEG_NOTE),
    *(m.FactKind.LINE_NOTE, m.FactKind.FEED_TEST, m.FactKind.FEED_THROW),
)


@dataclass(frozen=True, slots=True)
class Leaving:
    """Somebody as one club knows them: in its book, with an account, or both.

    `names`: what stands in texts, and what is to stand there; `trail_names`: in the trail, which
    also names accounts. `name`: what they are called since.
    """

    club: m.Club
    angler: m.Angler | None
    account: m.Person | None
    name: str
    names: dict[str, str]
    trail_names: dict[str, str]


def leaving(club: m.Club, *, angler: m.Angler | None, account: m.Person | None) -> Leaving:
    """Call it before anything is renamed: it reads the names that are to go."""
    name = angler_pseudonym(angler) if angler else account_pseudonym(account)
    known = {angler.name} if angler else set()
    signs_in_as: set[str] = set()
    if account is not None:
        known |= {account.get_full_name()} - {""}
        signs_in_as = {account.username, account.email} - {""}
    return Leaving(
        club,
        angler,
        account,
        name,
        names=dict.fromkeys(known, name),
        trail_names=dict.fromkeys(known | signs_in_as, name),
    )


def angler_pseudonym(angler: m.Angler) -> str:
    """The same in the whole club, for good."""
    return _("Angler %(n)s") % {"n": angler.pk}


def account_pseudonym(account: m.Person | None) -> str:
    """What an erased account is called from then on."""
    return _("Former member %(n)s") % {"n": account.pk if account else 0}


def club_erase(actor: m.Person | None, *, gone: Leaving) -> m.AuditEntry:
    """Take somebody out of one club; call it inside the transaction, behind the club's lock."""
    if gone.angler is not None:
        _angler_rename(gone.angler, name=gone.name)
    if gone.account is not None:
        m.Membership.objects.filter(
            club=gone.club, person=gone.account, ended_at__isnull=True
        ).update(ended_at=timezone.now())
    _facts_empty(gone)
    _texts_rename(gone)
    return audit_record(
        club=gone.club,
        person=actor,
        verb=ERASING,
        subject=gone.name,
        detail={
            "angler": gone.angler and gone.angler.pk,
            **published_rename(gone),
            SHORTENED: _trail_shorten(gone),
        },
    )


def published_rename(gone: Leaving) -> dict[str, list[tuple[int, str]]]:
    """Put the other name into what was published; what the trail's row has to list of it."""
    return {
        "bulletins": list(_redacted(gone, m.Bulletin.objects.filter(match__club=gone.club))),
        "tables": list(_redacted(gone, m.LeagueTable.objects.filter(league__club=gone.club))),
    }


def account_erase(account: m.Person) -> None:
    """Leave an account nobody signs in to, which only holds together what is kept; call it inside
    the transaction, after every club. What belongs to the person alone goes."""
    for relation in m.Person._meta.related_objects:
        if relation.on_delete is CASCADE and relation.related_model is not m.Membership:
            rows = relation.related_model._base_manager
            rows.filter(**{relation.field.name: account}).delete()
    account.groups.clear()
    account.user_permissions.clear()
    LogEntry.objects.filter(
        content_type__app_label="matches", content_type__model="person", object_id=str(account.pk)
    ).update(object_repr=account_pseudonym(account), change_message="")
    m.Person.objects.filter(pk=account.pk).update(
        username=f"erased-{account.pk}",
        first_name=account_pseudonym(account),
        last_name="",
        email="",
        language="",
        measures=m.Measures.WRITTEN,
        light="",
        password="!",
        is_active=False,
        is_staff=False,
        is_superuser=False,
        last_login=None,
    )


def _angler_rename(angler: m.Angler, *, name: str) -> None:
    m.Angler.objects.filter(pk=angler.pk).update(
        name=name, person=None, number="", junior=False, guardian_consents=False
    )
    m.Entry.objects.filter(angler=angler, needs_access=True).update(needs_access=False)
    m.Entry.objects.filter(angler=angler, match__state=m.MatchState.PLANNED).exclude(
        status=m.EntryStatus.WITHDRAWN
    ).update(status=m.EntryStatus.WITHDRAWN)
    for paid in (m.FeePayment, m.PrizePaid):
        paid._base_manager.filter(entry__angler=angler).exclude(note="").update(note="")


def _facts_empty(gone: Leaving) -> None:
    """Notes keep their number and digest and hold nothing; a witness is no longer named."""
    facts = m.Fact.objects.filter(club=gone.club)
    if gone.account is not None:
        facts.filter(author=gone.account, kind__in=NOTES).update(body={})
    for name in gone.names:
        for fact in facts.filter(body__witness=name):
            facts.filter(pk=fact.pk).update(body={**fact.body, "witness": gone.name})


def _texts_rename(gone: Leaving) -> None:
    # Files write names in capitals of their own, and are read so.
    folded = {name.casefold() for name in gone.names}
    past = m.PastResult.objects.filter(match__club=gone.club)
    same = [pk for pk, name in past.values_list("pk", "name") if name.casefold() in folded]
    past.filter(pk__in=same).update(name=gone.name)
    for objection in m.Objection.objects.filter(match__club=gone.club):
        words = names_replaced(objection.words, names=gone.names)[:400]
        answer = names_replaced(objection.answer, names=gone.names)[:400]
        if (words, answer) != (objection.words, objection.answer):
            m.Objection.objects.filter(pk=objection.pk).update(words=words, answer=answer)


def _redacted(
    gone: Leaving, rows: QuerySet[m.Bulletin] | QuerySet[m.LeagueTable]
) -> Iterator[tuple[int, str]]:
    """What was published and named them, each with the digest of what it says from now on."""
    entries = set(m.Entry.objects.filter(angler=gone.angler).values_list("pk", flat=True))
    for row in rows.order_by("pk").iterator(chunk_size=50):
        body = body_redacted(row.body, entries=entries, names=gone.names, name=gone.name)
        if body == row.body:
            continue
        words: dict[str, Any] = {"body": body, "redacted": canonical_digest(body)}
        if isinstance(row, m.Bulletin):
            words["reason"] = names_replaced(row.reason, names=gone.names)[:400]
        type(row)._base_manager.filter(pk=row.pk).update(**words)
        yield row.pk, words["redacted"]


def _trail_shorten(gone: Leaving) -> list[tuple[int, str]]:
    """Replace the names in the trail's words: each row's number, and the digest of its words since.

    The trail's end is locked first: what others are writing is there before, or comes after.
    """
    m.TrailHead.objects.select_for_update().filter(pk=chain_of(gone.club.pk)).first()
    shortened = []
    for row in list(_trail_named(gone)):
        m.AuditEntry.objects.filter(pk=row.pk).update(
            subject=row.subject, detail=row.detail, salt=""
        )
        words = words_digest(subject=row.subject, detail=row.detail)
        shortened.append((row.number, words))
    return shortened


def _trail_named(gone: Leaving) -> Iterator[m.AuditEntry]:
    """The rows that name them, each as it is to be."""
    for row in chain_rows(gone.club.pk).exclude(verb=ERASING).iterator(chunk_size=500):
        was = (row.subject, row.detail)
        row.subject = names_replaced(row.subject, names=gone.trail_names)[:200]
        row.detail = names_replaced(row.detail, names=gone.trail_names)
        if gone.account and row.person_id == gone.account.pk and row.verb.startswith("device_"):
            row.subject = gone.name  # it also says what the phone is called
        if was != (row.subject, row.detail):
            yield row


def clubs_of_account(account: m.Person) -> list[m.Club]:
    """Every club that ever knew the account, in one order."""
    held = (
        m.Membership.objects.filter(person=account).values("club"),
        m.Angler.objects.filter(person=account).values("club"),
        m.Fact.objects.filter(author=account).values("club"),
        m.AuditEntry.objects.filter(person=account, club__isnull=False).values("club"),
    )
    known = Q(pk__in=held[0])
    for more in held[1:]:
        known |= Q(pk__in=more)
    return list(m.Club.objects.filter(known).order_by("pk"))
