"""Results of before written into the club's book: all of a file or nothing, and twice is once."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from django.db import transaction
from django.utils.translation import gettext as _

from matches.models import Club, PastMatch, PastResult, Person
from matches.problems import Code, Problem
from matches.reads.past_files import FIELDS, Day, PastCompared, pasts_compare
from matches.reckon.sheets.results import ResultLine

from .audit import audit_record
from .locks import club_locked


@dataclass(frozen=True, slots=True)
class PastImported:
    """How many results were added and changed, of how many matches."""

    new: int
    changed: int
    matches: int


def past_results_import(person: Person, *, club: Club, lines: Sequence[ResultLine]) -> PastImported:
    """Put the results of a file with those held; what the file does not name stays.

    Raises Problem: CONFLICT where a line cannot be, NOT_FOUND, NOT_ALLOWED.
    """
    with transaction.atomic():
        club = club_locked(person, club=club)
        compared = pasts_compare(club, lines=lines)
        if any(one.refused for one in compared.lines):
            raise Problem(Code.CONFLICT, _("The book changed meanwhile: look at the file again."))
        matches = _matches_put(club, compared.matches)
        new = [_new(one, matches) for one in compared.lines if one.held is None]
        PastResult.objects.bulk_create(new, batch_size=200)
        changed = [one for one in compared.lines if one.held and one.differs]
        for one in changed:
            for name, (_before, after) in one.differs.items():
                setattr(one.held, name, after)
        PastResult.objects.bulk_update([o.held for o in changed if o.held], FIELDS, batch_size=100)
        done = PastImported(len(new), len(changed), len(matches))
        if new or changed:
            audit_record(
                club=club,
                person=person,
                verb="past_results_import",
                subject=club,
                detail={
                    "new": done.new,
                    "changed": done.changed,
                    "matches": [match.pk for match in matches.values()][:200],
                },
            )
        return done


def _matches_put(club: Club, said: Mapping[Day, tuple[str, str]]) -> dict[Day, PastMatch]:
    """The match of every day, made or brought up to what is said of it."""
    made = {}
    for day, (name, unit) in said.items():
        match, is_new = PastMatch.objects.get_or_create(
            venue_id=day[0],
            date=day[1],
            defaults={"club": club, "name": name, "weight_unit": unit},
        )
        if not is_new and (match.name, match.weight_unit) != (name, unit):
            match.name, match.weight_unit = name, unit
            match.save(update_fields=["name", "weight_unit"])
        made[day] = match
    return made


def _new(one: PastCompared, matches: Mapping[Day, PastMatch]) -> PastResult:
    line = one.line
    assert one.venue is not None  # a line without one is refused
    return PastResult(
        match=matches[one.venue.pk, line.date],
        angler=one.angler,
        name="" if one.angler else line.angler,
        **{name: getattr(line, name) for name in FIELDS},
    )
