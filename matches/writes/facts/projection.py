"""What stands because of the facts: weigh-ins and disagreements, worked out anew from the facts."""

from __future__ import annotations

from matches.models import Match


def weigh_ins_project(*, match: Match, pegs: frozenset[str] | None = None) -> None:
    """Make the match's weigh-ins and open disagreements say what its facts say.

    `pegs` limits it to what those pegs' facts touch. Call it inside a transaction, also after
    the draw or the pegs of a match changed.
    """
    raise NotImplementedError
