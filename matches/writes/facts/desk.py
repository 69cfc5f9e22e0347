"""A fact logged at the desk: the same road as a phone's."""

from __future__ import annotations

from typing import Any
from uuid import UUID

from matches.models import Fact, Match, Person


def fact_log_at_desk(
    person: Person,
    *,
    match: Match,
    kind: str,
    peg: str,
    body: dict[str, Any],
    supersedes: UUID | None = None,
) -> Fact:
    """Log one fact for `person` from the desk, in one transaction.

    Raises Problem (BAD_INPUT, NOT_ALLOWED, NOT_FOUND, BUSY) when it is refused; pointers point
    into the fact (`/body/weight`, `/peg`).
    """
    raise NotImplementedError
