"""Pools are set up, changed and taken away, and who chose which is noted."""

from __future__ import annotations

from collections.abc import Collection
from typing import Any

from django.db import transaction
from django.utils import timezone
from django.utils.text import slugify
from django.utils.translation import gettext as _

from matches.models import FISHING, Entry, Match, Person, Pool, PoolEntry
from matches.problems import Code, Problem
from matches.reads.payouts import prizes_come_to
from matches.reads.pool_accounts import PoolAccount, match_money
from matches.reckon.errors import BadInput, Fault
from matches.reckon.money import pence_format
from matches.reckon.reading import is_storable

from .audit import REASON_MOST, audit_record
from .locks import match_locked
from .pool_terms import PoolTerms


def pool_add(person: Person, *, match: Match, terms: PoolTerms, reason: str = "") -> Pool:
    """Set up a pool. Raises BadInput: prizes above what it holds; no reason after the start."""
    with transaction.atomic():
        match = match_locked(person, match=match)
        reason = reason_needed(match, reason)
        last = match.pools.order_by("-position").first()
        pool = Pool(match=match, key=_key_make(match, terms.name))
        pool.position = last.position + 1 if last else 1
        return _pool_put(person, pool, terms, verb="pool_add", reason=reason)


def pool_change(
    person: Person, *, match: Match, pool_id: int, terms: PoolTerms, reason: str = ""
) -> Pool:
    """Change what is paid in and how it is won. Raises BadInput as `pool_add` does."""
    with transaction.atomic():
        match = match_locked(person, match=match)
        pool = pool_of(match, pool_id)
        if not terms.changed_in(pool):
            return pool
        reason = reason_needed(match, reason)
        return _pool_put(person, pool, terms, verb="pool_change", reason=reason)


def pool_remove(person: Person, *, match: Match, pool_id: int, reason: str = "") -> None:
    """Take a pool away. Raises Problem CONFLICT once a stake was noted."""
    with transaction.atomic():
        match = match_locked(person, match=match)
        pool = pool_of(match, pool_id)
        reason = reason_needed(match, reason)
        if pool.payments.exists():
            said = _(
                "Stakes were noted for this pool: it stays, so that the money can be followed."
            )
            raise Problem(Code.CONFLICT, said)
        _record(person, pool, "pool_remove", before=_terms_of(pool), reason=reason)
        pool.delete()


def pool_entries_set(
    person: Person, *, match: Match, pool_id: int, entry_ids: Collection[int], reason: str = ""
) -> int:
    """Exactly these of who has a place are in the opt-in pool; how many that changed.

    The ticks of who withdrew stay. From the start on it needs `reason`. Raises BadInput, Problem.
    """
    with transaction.atomic():
        match = match_locked(person, match=match)
        pool = pool_of(match, pool_id)
        if not pool.opt_in:
            raise Problem(
                Code.CONFLICT, _("Everybody is in this pool: there is nothing to choose.")
            )
        placed = set(
            Entry.objects.filter(match=match, status__in=FISHING).values_list("pk", flat=True)
        )
        wanted = set(entry_ids)
        if not wanted <= placed:
            raise Problem(Code.CONFLICT, _("Somebody ticked has no place any more: look again."))
        held = set(
            PoolEntry.objects.filter(pool=pool, entry__in=placed).values_list("entry_id", flat=True)
        )
        if wanted == held:
            return 0
        reason = reason_needed(match, reason)
        PoolEntry.objects.filter(pool=pool, entry__in=held - wanted).delete()
        PoolEntry.objects.bulk_create(
            PoolEntry(pool=pool, entry_id=entry) for entry in sorted(wanted - held)
        )
        _prizes_check(pool)
        _record(
            person,
            pool,
            "pool_entries_set",
            added=sorted(wanted - held),
            removed=sorted(held - wanted),
            reason=reason,
        )
        return len(wanted ^ held)


def pool_of(match: Match, pool_id: int) -> Pool:
    """A pool of the match. Raises Problem NOT_FOUND."""
    pool = Pool.objects.filter(match=match, pk=pool_id).first()
    if pool is None:
        raise Problem(Code.NOT_FOUND, _("No such pool in this match."))
    return pool


def account_of(pool: Pool) -> PoolAccount:
    """The pool's account as it stands."""
    return next(a for a in match_money(pool.match).accounts if a.pool.pk == pool.pk)


def reason_needed(match: Match, reason: str) -> str:
    """The reason as it is kept. Raises BadInput: too long, or none from the start on."""
    reason = reason.strip()
    if len(reason) > REASON_MOST or not is_storable(reason):
        raise BadInput(Fault("/reason", _("Say it in at most 200 plain characters.")))
    if not reason and timezone.now() >= match.start_at:
        raise BadInput(Fault("/reason", _("The match has started: say why, it stays on record.")))
    return reason


def _pool_put(person: Person, pool: Pool, terms: PoolTerms, *, verb: str, reason: str) -> Pool:
    before = _terms_of(pool) if pool.pk else None
    for key in terms.__slots__:
        setattr(pool, key, getattr(terms, key))
    pool.save()
    _prizes_check(pool)
    _record(person, pool, verb, before=before, after=_terms_of(pool), reason=reason)
    return pool


def _prizes_check(pool: Pool) -> None:
    """Raises BadInput where more could be won than the pool holds, as it stands now."""
    account = account_of(pool)
    drawn = {
        s.entry.drawn_peg.section_peg.section_id
        for s in account.is_in
        if hasattr(s.entry, "drawn_peg")
    }
    sections = len(drawn) if drawn else pool.match.sections.count()
    come_to = prizes_come_to(pool, holds=account.holds, sections=sections)
    if come_to > account.holds:
        said = _(
            "The prizes come to %(prizes)s, the pool holds %(holds)s (%(n)d in at %(stake)s): "
            "lower them, or give them in percent."
        ) % {
            "prizes": pence_format(come_to),
            "holds": pence_format(account.holds),
            "n": len(account.is_in),
            "stake": pence_format(pool.stake_pence),
        }
        at = "/section" if pool.section_pence else "/place-1"
        raise BadInput(Fault(at, said))


def _terms_of(pool: Pool) -> dict[str, Any]:
    return {key: getattr(pool, key) for key in PoolTerms.__slots__}


def _record(person: Person, pool: Pool, verb: str, **detail: Any) -> None:
    audit_record(
        club=pool.match.club,
        person=person,
        verb=verb,
        subject=pool,
        detail={"match": pool.match_id, "pool": pool.key, **detail},
    )


def _key_make(match: Match, name: str) -> str:
    base = slugify(name)[:30].strip("-") or "pool"
    taken = set(match.pools.values_list("key", flat=True))
    return next(k for k in (base, *(f"{base}-{n}" for n in range(2, 1000))) if k not in taken)
