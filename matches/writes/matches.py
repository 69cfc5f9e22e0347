"""A match is made, its day changed, called off and taken back. None is ever deleted."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass
from typing import Any

from django.db import transaction
from django.utils.text import slugify
from django.utils.translation import gettext as _

from matches.models import (
    FISHING,
    Club,
    DrawnPeg,
    Entry,
    Match,
    PegLeftOut,
    Person,
    Section,
    SectionPeg,
    Venue,
)
from matches.problems import Code, Problem
from matches.reads.signals import start_given
from matches.reckon.errors import BadInput, Fault
from matches.reckon.reading import is_storable

from .audit import REASON_MOST, audit_record
from .locks import club_locked, match_locked
from .match_content import SIGNALS, MatchTerms, terms_typed
from .page_marks import mark_check
from .waiting import waiting_take_in

#: What a new match takes over from an earlier one, beside its sections.
TAKEN_OVER = (
    "weight_unit",
    "scheme",
    "team_tie_breaks",
    "net_cap",
    "net_cap_rule",
    "scored_by",
    "species",
)


@dataclass(frozen=True, slots=True)
class MatchChanged:
    """What a change came to: the fields, who got a place by it, and whether pegs were emptied."""

    match: Match
    fields: tuple[str, ...]
    taken_in: tuple[Entry, ...] = ()
    pegs_emptied: bool = False

    @property
    def times(self) -> tuple[str, ...]:
        return tuple(f for f in self.fields if f in (*SIGNALS, "last_call_min", "date"))


def match_add(person: Person, *, club: Club, terms: MatchTerms, like: Match | None = None) -> Match:
    """Plan a match; `like` an earlier one of the club it is scored as that one was, and has its
    sections where the venue is the same. Raises Problem NOT_FOUND or NOT_ALLOWED.
    """
    with transaction.atomic():
        club = club_locked(person, club=club)
        _same_club_check(club, venue=terms.venue, like=like)
        match = Match(club=club, slug=_slug_make(club, terms))
        _terms_put(match, terms)
        for key in TAKEN_OVER if like else ():
            setattr(match, key, getattr(like, key))
        match.save()
        if like is not None and like.venue_id == match.venue_id:
            _sections_copy(like, to=match)
        audit_record(
            club=club,
            person=person,
            verb="match_add",
            subject=match,
            detail={"match": match.pk, "like": like.pk if like else None, "slug": match.slug},
        )
        return match


def match_change(
    person: Person, *, match: Match, terms: MatchTerms, mark: str = ""
) -> MatchChanged:
    """Change when, where and on what terms. Another venue empties the sections of their pegs.

    `mark` (`page_mark` of the terms) says on what page it was typed. Raises BadInput: another
    venue once the draw is committed to, fewer places than entered, or an old page.
    """
    with transaction.atomic():
        match = match_locked(person, match=match)
        _same_club_check(match.club, venue=terms.venue, like=None)
        fields = terms.changed_in(match)
        if not fields:
            return MatchChanged(match, ())
        mark_check(mark, stands=terms_typed(match))
        before = {key: _said(getattr(match, key)) for key in fields}
        emptied = "venue" in fields and _pegs_empty(match)
        _places_check(match, terms)
        _terms_put(match, terms)
        match.save(update_fields=fields)
        taken_in = waiting_take_in(person, match=match) if "places_most" in fields else []
        audit_record(
            club=match.club,
            person=person,
            verb="match_change",
            subject=match,
            detail={
                "match": match.pk,
                "before": before,
                "after": {key: _said(getattr(match, key)) for key in fields},
                "pegs_emptied": emptied,
            },
        )
        return MatchChanged(match, tuple(fields), tuple(taken_in), emptied)


def match_end_shift(person: Person, *, match: Match) -> Match:
    """Move the end by as much as the start was given late or early. Raises Problem CONFLICT where
    no start was given, or the end was moved for it already."""
    with transaction.atomic():
        match = match_locked(person, match=match)
        given = start_given(match)
        if given is None or not given.to_shift:
            raise Problem(
                Code.CONFLICT, _("The end stands already as the start was given: nothing to move.")
            )
        before, by = match.end_at, dt.timedelta(minutes=given.late)
        match.start_at, match.end_at = match.start_at + by, match.end_at + by
        # A start given early: what comes before it cannot come after.
        for key in ("prepare_at", "feed_at"):
            planned = getattr(match, key)
            setattr(match, key, planned and min(planned, match.start_at))
        match.save(update_fields=["prepare_at", "feed_at", "start_at", "end_at"])
        audit_record(
            club=match.club,
            person=person,
            verb="match_end_shift",
            subject=match,
            detail={"match": match.pk, "before": _said(before), "after": _said(match.end_at)},
        )
        return match


def match_call_off(person: Person, *, match: Match, reason: str) -> Match:
    """Say that the match is not fished, and why: everybody reads it. Raises BadInput."""
    reason = reason.strip()
    if not reason or len(reason) > REASON_MOST or not is_storable(reason):
        sentence = _("Say why in at most 200 characters: everybody will read it.")
        raise BadInput(Fault("/reason", sentence))
    return _called_off_set(person, match=match, reason=reason)


def match_call_back(person: Person, *, match: Match) -> Match:
    """Take it back: the match is fished after all."""
    return _called_off_set(person, match=match, reason="")


def _called_off_set(person: Person, *, match: Match, reason: str) -> Match:
    with transaction.atomic():
        match = match_locked(person, match=match)
        before = match.called_off
        if before != reason:
            match.called_off = reason
            match.save(update_fields=["called_off"])
            audit_record(
                club=match.club,
                person=person,
                verb="match_call_off" if reason else "match_call_back",
                subject=match,
                detail={"match": match.pk, "before": before, "after": reason},
            )
        return match


def _terms_put(match: Match, terms: MatchTerms) -> None:
    for key in MatchTerms.__slots__:
        setattr(match, key, getattr(terms, key))


def _said(value: Any) -> Any:
    """A field's value as the trail keeps it."""
    if isinstance(value, Venue):
        return value.name
    return value.isoformat() if isinstance(value, dt.date) else value


def _same_club_check(club: Club, *, venue: Venue, like: Match | None) -> None:
    if venue.club_id != club.pk or (like is not None and like.club_id != club.pk):
        raise Problem(Code.NOT_FOUND, _("No such venue or match in your clubs."))


def _slug_make(club: Club, terms: MatchTerms) -> str:
    """The match's own part of its address, made once: a changed name does not move it."""
    base = slugify(terms.name)[:60].strip("-") or "match"
    dated = f"{base}-{terms.date}"
    taken = set(
        Match.objects.filter(club=club, slug__startswith=base).values_list("slug", flat=True)
    )
    tries = [dated, *(f"{dated}-{n}" for n in range(2, len(taken) + 3))]
    return next(slug for slug in tries if slug not in taken)


def _sections_copy(like: Match, *, to: Match) -> None:
    """The earlier match's sections with the pegs that are still fished, and those left out."""
    made = {}
    for section in Section.objects.filter(match=like):
        made[section.pk] = Section.objects.create(
            match=to, label=section.label, position=section.position
        )
    SectionPeg.objects.bulk_create(
        SectionPeg(match=to, section=made[row.section_id], peg_id=row.peg_id)
        for row in SectionPeg.objects.filter(match=like, peg__retired=False)
    )
    PegLeftOut.objects.bulk_create(
        PegLeftOut(match=to, peg_id=row.peg_id, reason=row.reason)
        for row in PegLeftOut.objects.filter(match=like, peg__retired=False)
    )


def _pegs_empty(match: Match) -> bool:
    """Take the old venue's pegs out of the sections; whether there were any. Raises BadInput once a
    draw is committed to."""
    if match.draws.exists() or DrawnPeg.objects.filter(match=match).exists():
        raise BadInput(
            Fault("/venue", _("The draw is committed to, with this venue’s pegs: it stays."))
        )
    PegLeftOut.objects.filter(match=match).delete()
    return bool(SectionPeg.objects.filter(match=match).delete()[0])


def _places_check(match: Match, terms: MatchTerms) -> None:
    """No fewer places than are taken. Raises BadInput."""
    if terms.places_most is None or terms.places_most == match.places_most:
        return
    entered = Entry.objects.filter(match=match, status__in=FISHING).count()
    if terms.places_most < entered:
        said = _("%(n)d are entered already: give so many places, or withdraw some of them first.")
        raise BadInput(Fault("/places_most", said % {"n": entered}))
