"""Checking facts one by one before the club's counter is locked: shape, rights, body."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from django.utils.translation import gettext as _

from matches.models import FactKind, Person
from matches.problems import Code, Problem, bad_field
from matches.reckon.errors import BadInput, Fault

from .again import stored_before
from .bodies import BodyCheck
from .canonical import fact_digest
from .carrying import Authorship, Keys
from .outcomes import Outcome, Verdict
from .rights import Rights, rights_of_each
from .shape import FactIn, FactReading, fact_read


@dataclass(frozen=True, slots=True)
class Checked:
    """A fact that may be stored: its place in the batch, its digest, whose it is, and its author's
    rights."""

    at: int
    fact: FactIn
    digest: str
    by: Authorship
    rights: Rights

    @property
    def author_id(self) -> int:
        return self.by.author.pk


def facts_check(
    person: Person, *, facts: Sequence[Any], body_checks: Mapping[str, BodyCheck]
) -> tuple[list[Checked], dict[int, Outcome]]:
    """The facts that may be stored, and by its place the outcome of each of the others.

    `person` hands them in; a fact that another's phone signed is that person's. Three queries for
    the whole batch, beside what the body checks ask, and one more where any is refused.
    """
    shaped: dict[int, tuple[FactIn, FactReading]] = {}
    refused: dict[int, Outcome] = {}
    for at, raw in enumerate(facts):
        reading = FactReading()
        fact = fact_read(raw, reading=reading)
        if reading.faults:
            refused[at] = refusal(raw, as_problem(reading))
        else:
            shaped[at] = (fact, reading)
    if not shaped:
        return [], refused
    keys = Keys(person, facts=[fact for fact, _reading in shaped.values()])
    rights = rights_of_each(
        [person, *keys.people], match_ids={fact.match for fact, _reading in shaped.values()}
    )
    checked = []
    for at, (fact, reading) in shaped.items():
        try:
            checked.append(_fact_check(at, fact, reading, keys, rights, body_checks))
        except Problem as problem:
            refused[at] = refusal(facts[at], problem)
    left = {at: fact for at, (fact, _reading) in shaped.items() if at in refused}
    return checked, refused | stored_before(left, keys=keys)


def _fact_check(
    at: int,
    fact: FactIn,
    reading: FactReading,
    keys: Keys,
    rights_by: Mapping[tuple[int, int], Rights],
    body_checks: Mapping[str, BodyCheck],
) -> Checked:
    of_session = rights_by.get((keys.session.pk, fact.match))
    if of_session is None:
        # The same words whether the match is another club's or nobody's.
        words = _("No such match in your clubs.")
        raise Problem(Code.NOT_FOUND, words, Fault("/match", words))
    check = body_checks.get(fact.kind)
    if check is None:
        words = _("This kind of fact cannot be logged here.")
        raise bad_field("/kind", words)
    check(reading, fact.body, match=of_session.match)
    if reading.faults:
        raise as_problem(reading)
    digest = fact_digest(fact.as_json())
    by = keys.authorship(fact, digest=digest)
    rights = rights_by.get((by.author.pk, fact.match))
    if rights is None:
        words = _("Who logged this is in no club with such a match.")
        raise Problem(Code.NOT_FOUND, words, Fault("/match", words))
    if fact.kind == FactKind.SIGNAL and not rights.official:
        raise Problem(Code.NOT_ALLOWED, _("Only a weigher or the secretary gives the signals."))
    if fact.kind == FactKind.RULING and not rights.rules:
        raise Problem(Code.NOT_ALLOWED, _("Only the club's secretary settles disagreements."))
    return Checked(at, fact, digest, by, rights)


def as_problem(reading: FactReading) -> Problem:
    """What was wrong with a fact, as a Problem BAD_INPUT with a pointer each."""
    error = BadInput(*reading.faults)
    return Problem(Code.BAD_INPUT, _("Mend what is listed and send it again."), *error.faults)


def refusal(raw: Any, problem: Problem) -> Outcome:
    """A refusal that names the fact as it named itself, if that can be sent back."""
    given = raw.get("id") if isinstance(raw, dict) else None
    name = given[:64].encode("utf-8", "replace").decode() if isinstance(given, str) else None
    return Outcome(name, Verdict.REFUSED, problem=problem)
