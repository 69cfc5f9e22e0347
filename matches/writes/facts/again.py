"""Facts that are here already, and that would be refused if they were new."""

from __future__ import annotations

from collections.abc import Mapping

from matches.models import Fact
from matches.problems import Problem

from .canonical import fact_digest
from .carrying import Keys
from .outcomes import Outcome, Verdict
from .shape import FactIn


def stored_before(refused: Mapping[int, FactIn], *, keys: Keys) -> dict[int, Outcome]:
    """Of facts refused today, by place, those stored before just as they are: duplicates.

    A server may ask more of a new fact than it once did, and a person may lose a right; what it
    once accepted it never refuses.
    """
    if not refused:
        return {}
    rows = Fact.objects.only("match_id", "digest", "author_id", "cseq")
    here = rows.in_bulk([fact.id for fact in refused.values()])
    return {
        at: Outcome(str(fact.id), Verdict.DUPLICATE, cseq=here[fact.id].cseq)
        for at, fact in refused.items()
        if fact.id in here and _is_same(fact, here[fact.id], keys)
    }


def _is_same(fact: FactIn, row: Fact, keys: Keys) -> bool:
    try:
        digest = fact_digest(fact.as_json())
        author = keys.authorship(fact, digest=digest).author
    except (Problem, ValueError, RecursionError):  # half a character, or nested without end
        return False
    return (row.digest, row.match_id, row.author_id) == (digest, fact.match, author.pk)
