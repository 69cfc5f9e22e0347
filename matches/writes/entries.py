"""Who is entered: teams at once and singles, reserves, the waiting list, and the day's statuses."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from django.db import transaction
from django.utils import timezone
from django.utils.translation import gettext as _

from matches.models import FISHING, Angler, Entry, EntryStatus, Match, Person, Team
from matches.problems import Code, Problem, bad_field
from matches.reckon.reading import is_storable

from .audit import audit_record
from .locks import match_locked
from .waiting import pegs_drawn, places_free

AS = (EntryStatus.ENTERED, EntryStatus.RESERVE)
OUT = (EntryStatus.WITHDRAWN,)


@dataclass(frozen=True, slots=True)
class EntriesAdded:
    """Who got a place, and who waits for one because all are taken."""

    entered: tuple[Entry, ...]
    waiting: tuple[Entry, ...]


def entries_add(
    person: Person,
    *,
    match: Match,
    angler_ids: Sequence[int],
    team_id: int | None = None,
    status: str = EntryStatus.ENTERED,
) -> EntriesAdded:
    """Enter anglers of the club's book, for a team or (`team_id` None) each alone, or as reserves.

    When the places are taken the rest wait, in this order. Refused whole (Problem): nobody
    chosen, somebody entered already, another club's angler or team, a match called off or drawn.
    """
    with transaction.atomic():
        match = match_locked(person, match=match)
        if status not in AS:
            raise bad_field("/as", _("Choose whether they are entered or reserves."))
        _open_check(match, status=status)
        team = _team_of(match, team_id)
        anglers = _anglers_of(match, angler_ids)
        held = {e.angler_id: e for e in Entry.objects.filter(match=match, angler__in=anglers)}
        twice = [a.name for a in anglers if a.pk in held and held[a.pk].status not in OUT]
        if twice:
            said = _("%(names)s: in this match already. Nobody is entered twice; untick them.")
            raise Problem(Code.CONFLICT, said % {"names": ", ".join(twice)})
        free = places_free(match) if status == EntryStatus.ENTERED else None
        made = [
            _entry_put(
                person,
                held.get(angler.pk) or Entry(match=match, angler=angler),
                team=team,
                status=status if free is None or at < free else EntryStatus.WAITING,
            )
            for at, angler in enumerate(anglers)
        ]
        return EntriesAdded(
            tuple(e for e in made if e.status != EntryStatus.WAITING),
            tuple(e for e in made if e.status == EntryStatus.WAITING),
        )


def entry_let_in(person: Person, *, match: Match, entry_id: int) -> Entry:
    """Give a reserve a place of the match before the draw. Raises Problem CONFLICT when it is full
    or somebody waits for that place."""
    with transaction.atomic():
        match = match_locked(person, match=match)
        entry = entry_of(match, entry_id)
        if entry.status != EntryStatus.RESERVE:
            raise Problem(Code.CONFLICT, _("Only a reserve can be let in like this."))
        _open_check(match, status=EntryStatus.ENTERED)
        if places_free(match) == 0:
            raise Problem(Code.CONFLICT, _("All places are taken: give more places, or withdraw."))
        return _entry_put(person, entry, team=entry.team, status=EntryStatus.ENTERED)


def entry_access_set(person: Person, *, match: Match, entry_id: int, needs: bool) -> Entry:
    """Note that an angler asks for a peg one can reach with a wheelchair, or does not any more."""
    with transaction.atomic():
        match = match_locked(person, match=match)
        entry = entry_of(match, entry_id)
        if entry.needs_access != needs:
            entry.needs_access = needs
            entry.save(update_fields=["needs_access"])
            audit_record(
                club=match.club,
                person=person,
                verb="entry_access_set",
                subject=f"entry {entry.pk}",
                detail={"match": match.pk, "entry": entry.pk, "needs": needs},
            )
        return entry


def entry_status_set(
    person: Person, *, match: Match, entry_id: int, status: str, reason: str = ""
) -> Entry:
    """Mark an entry absent, retired, disqualified, or entered again. Raises Problem.

    A disqualification needs `reason`; it stays in the trail and is not published.
    """
    with transaction.atomic():
        match = match_locked(person, match=match)
        entry = entry_of(match, entry_id)
        if status not in FISHING:
            raise bad_field("/status", _("Choose entered, retired, absent or disqualified."))
        if entry.status not in FISHING:
            raise Problem(
                Code.CONFLICT, _("This angler has no place in the match: enter them first.")
            )
        reason_check(reason)
        if status == EntryStatus.DISQUALIFIED and not reason.strip():
            raise bad_field("/reason", _("Say why: a disqualification needs a reason on record."))
        before, entry.status = entry.status, status
        if before != status:
            entry.save(update_fields=["status"])
            audit_record(
                club=match.club,
                person=person,
                verb="entry_status_set",
                subject=entry,
                detail={"before": before, "after": status, "reason": reason.strip()},
            )
        return entry


def entry_of(match: Match, entry_id: int) -> Entry:
    """One entry of the match, with its angler and team. Raises Problem NOT_FOUND."""
    rows = Entry.objects.filter(match=match, pk=entry_id).select_related("angler", "team")
    entry = rows.first()
    if entry is None:
        raise Problem(Code.NOT_FOUND, _("No such entry in this match."))
    return entry


def reason_check(reason: str) -> None:
    """Raises Problem BAD_INPUT at `/reason` for what no database stores."""
    if not is_storable(reason):
        raise bad_field("/reason", _("A character here cannot be stored: write it anew."))


def _open_check(match: Match, *, status: str) -> None:
    """Whether one can still get in so. Raises Problem CONFLICT."""
    if match.called_off:
        raise Problem(Code.CONFLICT, _("The match is called off: take that back first."))
    if status == EntryStatus.ENTERED and pegs_drawn(match):
        raise Problem(
            Code.CONFLICT,
            _(
                "The pegs are drawn. Enter late comers as reserves: they can take somebody’s place "
                "and peg. Or draw again."
            ),
        )


def _team_of(match: Match, team_id: int | None) -> Team | None:
    if team_id is None:
        return None
    team = Team.objects.filter(pk=team_id, club=match.club).first()
    if team is None:
        raise bad_field("/team", _("The club has no such team: choose one of the list."))
    return team


def _anglers_of(match: Match, angler_ids: Sequence[int]) -> list[Angler]:
    """The anglers in the order given."""
    if not angler_ids:
        raise bad_field("/anglers", _("Tick who is to be entered."))
    found = Angler.objects.filter(club=match.club).in_bulk(list(angler_ids))
    anglers = [found[pk] for pk in dict.fromkeys(angler_ids) if pk in found]
    if len(anglers) != len(set(angler_ids)):
        raise bad_field("/anglers", _("Somebody is not in the club’s book: load the page again."))
    return anglers


def _entry_put(person: Person, entry: Entry, *, team: Team | None, status: str) -> Entry:
    """Enter, or enter again who withdrew: at the end of the line, with a place of their own."""
    before = entry.status if entry.pk else None
    entry.team, entry.status, entry.replaces = team, status, None
    entry.entered_at = timezone.now()
    entry.save()
    audit_record(
        club=entry.match.club,
        person=person,
        verb="entry_add",
        subject=entry,
        detail={"match": entry.match_id, "entry": entry.pk, "before": before, "after": status},
    )
    return entry
