"""The river strip of what stands now."""

from __future__ import annotations

from matches.reads.results import MatchResult
from web.river_strip import Strip, StripPeg, river_strips


def result_strips(result: MatchResult) -> list[Strip]:
    """One strip a section, empty pegs too."""
    return river_strips(
        StripPeg(
            peg=p.peg,
            section=p.section,
            angler=p.entry.angler if p.entry else None,
            weight=p.entry.weight if p.entry else None,
            status=p.entry.status if p.entry else "entered",
        )
        for p in result.pegs
    )
