"""Who withdraws, and who takes over the place, with its peg once the pegs are drawn."""

from __future__ import annotations

from dataclasses import dataclass

from django.db import transaction
from django.utils import timezone
from django.utils.translation import gettext as _

from matches.models import FISHING, DrawnPeg, Entry, EntryStatus, Match, Person, WeighIn
from matches.problems import Code, Problem, bad_field

from .audit import audit_record
from .draws import telling_refuse
from .entries import entry_of, reason_check
from .facts import weigh_ins_project
from .locks import match_locked
from .waiting import waiting_take_in

STANDS_BY = (EntryStatus.RESERVE, EntryStatus.WAITING)


@dataclass(frozen=True, slots=True)
class Withdrawn:
    """Who gave the place back, who has it now, and who was taken in from the waiting list.
    `peg`: the drawn peg it was about, empty now where nobody has the place."""

    entry: Entry
    peg: str
    substitute: Entry | None = None
    taken_in: tuple[Entry, ...] = ()


def entry_withdraw(
    person: Person,
    *,
    match: Match,
    entry_id: int,
    substitute_id: int | None = None,
    reason: str = "",
) -> Withdrawn:
    """Give a place back. `substitute_id`: the entry of who stands by, to take it with its peg.

    Before the draw a free place goes to who waits longest. After it, without a substitute, the peg
    stays empty: a single angler withdraws, a team's angler is marked absent there, or the team
    would be short by a score. From the start on it needs `reason`. Refused (Problem CONFLICT): who
    has weighed in, or withdrew already; anybody while pegs are being told one by one.
    """
    with transaction.atomic():
        match = match_locked(person, match=match)
        telling_refuse(match)
        entry = entry_of(match, entry_id)
        _may_go_check(entry, passed_on=substitute_id is not None)
        reason_check(reason)
        if timezone.now() >= match.start_at and not reason.strip():
            raise bad_field("/reason", _("The match has started: say why, it stays on record."))
        drawn = _peg_of(entry)
        substitute = _substitute_of(match, entry, substitute_id)
        before = entry.status
        if drawn is not None and substitute is None and entry.team_id is not None:
            entry.status = EntryStatus.ABSENT
        else:
            entry.status = EntryStatus.WITHDRAWN
        entry.save(update_fields=["status"])
        if substitute is not None:
            _place_pass(entry, to=substitute, drawn=drawn)
        elif drawn is not None and entry.status == EntryStatus.WITHDRAWN:
            drawn.delete()
        weigh_ins_project(match=match)
        peg = drawn.section_peg.peg.number if drawn else ""
        audit_record(
            club=match.club,
            person=person,
            verb="entry_withdraw",
            subject=entry,
            detail={
                "match": match.pk,
                "entry": entry.pk,
                "before": before,
                "after": entry.status,
                "peg": peg,
                "substitute": substitute.pk if substitute else None,
                "reason": reason.strip(),
            },
        )
        taken_in = waiting_take_in(person, match=match) if substitute is None else []
        return Withdrawn(entry, peg, substitute, tuple(taken_in))


def _may_go_check(entry: Entry, *, passed_on: bool) -> None:
    if entry.status == EntryStatus.WITHDRAWN:
        raise Problem(Code.CONFLICT, _("This angler has withdrawn already."))
    if entry.status == EntryStatus.ABSENT and not passed_on:
        raise Problem(Code.CONFLICT, _("Marked absent already: choose who takes the place."))
    if entry.status == EntryStatus.DISQUALIFIED:
        raise Problem(Code.CONFLICT, _("Who is disqualified keeps the place: nobody takes it."))


def _peg_of(entry: Entry) -> DrawnPeg | None:
    """The entry's drawn peg. Raises Problem CONFLICT where it was weighed in."""
    rows = DrawnPeg.objects.filter(entry=entry).select_related("section_peg__peg")
    drawn = rows.first()
    if drawn and WeighIn.objects.filter(section_peg=drawn.section_peg_id, stands=True).exists():
        raise Problem(
            Code.CONFLICT,
            _("This angler has weighed in: mark them retired instead, the weight stays theirs."),
        )
    return drawn


def _substitute_of(match: Match, entry: Entry, substitute_id: int | None) -> Entry | None:
    if substitute_id is None:
        return None
    substitute = entry_of(match, substitute_id)
    if substitute.status not in STANDS_BY:
        raise bad_field("/substitute", _("Choose a reserve, or somebody who waits for a place."))
    if entry.status not in FISHING:
        raise bad_field("/substitute", _("There is no place to take over: leave this empty."))
    return substitute


def _place_pass(entry: Entry, *, to: Entry, drawn: DrawnPeg | None) -> None:
    """The substitute has the place: the team's, and the peg. A plan of theirs goes with them."""
    # Who came back to another place, and gives that back too, is replaced by the later one.
    Entry.objects.filter(replaces=entry).update(replaces=None)
    to.status, to.team, to.replaces = EntryStatus.ENTERED, entry.team, entry
    to.save(update_fields=["status", "team", "replaces"])
    if drawn is not None:
        drawn.entry = to
        drawn.save(update_fields=["entry"])
