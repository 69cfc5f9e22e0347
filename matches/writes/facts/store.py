"""Taking in a batch of facts: one outcome each, every fact stored at most once."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from matches.models import Person

from .bodies import BodyCheck
from .outcomes import Outcome


def facts_store(
    person: Person, *, facts: Sequence[Any], body_checks: Mapping[str, BodyCheck]
) -> list[Outcome]:
    """Store what can be stored of `facts` (as parsed from JSON) as facts of `person`.

    One outcome a fact, in the same order. Raises Problem BUSY when the database does not answer:
    then nothing of the batch was stored, and it may be sent again as it is.
    """
    raise NotImplementedError
