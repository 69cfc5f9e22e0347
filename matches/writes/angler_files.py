"""A roster written into the club's book of anglers: all of it or nothing, and twice is once."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from django.db import transaction
from django.utils.translation import gettext as _

from matches.models import Angler, Club, Person, Team
from matches.problems import Code, Problem
from matches.reads.angler_files import AnglerCompared, anglers_compare
from matches.reckon.sheets.anglers import AnglerLine

from .audit import TOLD_MOST, audit_record
from .juniors import junior_record
from .locks import club_locked

BOOK_MOST = 20_000


@dataclass(frozen=True, slots=True)
class AnglersImported:
    """How many anglers were added and changed, how many teams made; `ids` are the anglers of the
    file, in its order."""

    new: int
    changed: int
    teams: int
    ids: tuple[int, ...]


def anglers_import(person: Person, *, club: Club, lines: Sequence[AnglerLine]) -> AnglersImported:
    """Make the book what a roster says of who is in it; nobody else is touched.

    Raises Problem: CONFLICT where a line cannot be, NOT_FOUND, NOT_ALLOWED.
    """
    with transaction.atomic():
        club = club_locked(person, club=club)
        compared = anglers_compare(club, lines=lines)
        if any(one.refused for one in compared.lines):
            raise Problem(Code.CONFLICT, _("The book changed meanwhile: look at the file again."))
        if Angler.objects.filter(club=club).count() + len(lines) > BOOK_MOST:
            raise Problem(
                Code.CONFLICT, _("That would be more anglers than one club’s book holds.")
            )
        Team.objects.bulk_create(Team(club=club, name=name) for name in compared.teams_new)
        teams = {team.name: team for team in Team.objects.filter(club=club)}
        anglers = [_angler(club, one, teams=teams) for one in compared.lines]
        new = [a for a in anglers if a.pk is None]
        Angler.objects.bulk_create(new, batch_size=200)
        changed = [one for one in compared.lines if one.angler and one.differs]
        _changed_put([one.angler for one in changed if one.angler])
        if new or changed:
            _audit(person, club, new=new, changed=changed, teams=compared.teams_new)
        _juniors_record(person, changed)
        return AnglersImported(
            len(new), len(changed), len(compared.teams_new), tuple(a.pk for a in anglers)
        )


def _angler(club: Club, one: AnglerCompared, *, teams: dict[str, Team]) -> Angler:
    """The angler as the line has it, not written yet."""
    angler = one.angler or Angler(club=club)
    for name, (_before, after) in one.differs.items():
        setattr(angler, name, teams[str(after)] if name == "team" else after)
    return angler


def _changed_put(anglers: Sequence[Angler]) -> None:
    # Numbers that two anglers swap are never both held by one: they are let go first.
    Angler.objects.filter(pk__in=[a.pk for a in anglers]).update(number="")
    fields = ["name", "number", "team", "junior", "guardian_consents"]
    Angler.objects.bulk_update(anglers, fields, batch_size=100)


def _juniors_record(person: Person, changed: Sequence[AnglerCompared]) -> None:
    """As where the secretary says it at the desk: a name not to be shown goes from results too."""
    for one in changed:
        if one.angler and not {"junior", "guardian_consents"}.isdisjoint(one.differs):
            before, _after = one.differs.get("name", ("", ""))
            called = {one.angler.name, str(before)} - {""}
            junior_record(person, angler=one.angler, called=called)


def _audit(
    person: Person,
    club: Club,
    *,
    new: Sequence[Angler],
    changed: Sequence[AnglerCompared],
    teams: Sequence[str],
) -> None:
    """Who by key and which fields, no names: the trail outlasts what a person may have erased."""
    audit_record(
        club=club,
        person=person,
        verb="anglers_import",
        subject=club,
        detail={
            "new": [angler.pk for angler in new[:TOLD_MOST]],
            "new_in_all": len(new),
            "changed": {
                str(one.angler.pk): sorted(one.differs) for one in changed[:TOLD_MOST] if one.angler
            },
            "changed_in_all": len(changed),
            "teams": list(teams[:TOLD_MOST]),
        },
    )
