"""Taking in a batch of facts: one outcome each, every fact stored at most once."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Mapping, Sequence
from typing import Any

from django.db import OperationalError, transaction
from django.utils.translation import gettext as _

from matches.models import Person
from matches.problems import Code, Problem

from .batch import ClubBatch
from .bodies import BodyCheck
from .checking import Checked, facts_check
from .outcomes import Outcome, Verdict
from .refusals import refusals_note

RETRY_SECONDS = 2


def facts_store(
    person: Person, *, facts: Sequence[Any], body_checks: Mapping[str, BodyCheck]
) -> list[Outcome]:
    """Store what can be stored of `facts` (as parsed from JSON) as facts of `person`.

    One outcome a fact, in the same order. One transaction a club, with its counter row locked
    from before the first insert to the end. Raises Problem BUSY when the database does not
    answer: then nothing of the batch was stored, and it may be sent again as it is.
    """
    checked, outcomes = facts_check(person, facts=facts, body_checks=body_checks)
    by_club: dict[int, list[Checked]] = defaultdict(list)
    for one in checked:
        by_club[one.rights.match.club_id].append(one)
    try:
        refusals_note(person, facts=facts, outcomes=outcomes)
    except OperationalError as error:
        raise _busy() from error
    for club_id, batch in by_club.items():
        try:
            with transaction.atomic():
                outcomes |= ClubBatch(person, club_id=club_id, batch=batch).store()
        except OperationalError as error:
            _later_or_raise(batch, outcomes, error)
    return [outcomes[at] for at in range(len(facts))]


def _later_or_raise(
    batch: Sequence[Checked], outcomes: dict[int, Outcome], error: OperationalError
) -> None:
    """When another club's facts were stored already, only these are to be sent again."""
    if not any(outcome.stored for outcome in outcomes.values()):
        raise _busy() from error
    for one in batch:
        outcomes[one.at] = Outcome(str(one.fact.id), Verdict.LATER, after=RETRY_SECONDS)


def _busy() -> Problem:
    return Problem(
        Code.BUSY, _("The database did not answer. Nothing was stored; try again in a moment.")
    )
