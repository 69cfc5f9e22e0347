"""What moved between two standings of a match, by comparing places, never by a log."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from .result_rows import MatchResult

Standing = Mapping[str, Any]
"""`{"sections": {label: {peg: [angler, place, weight, status]}}, "teams": {name: rank}}`, as JSON
holds it: what was looked at is kept with the session."""


@dataclass(frozen=True, slots=True)
class Move:
    """One angler of a `section` (None: a team) whose place was `before` and is `after`, None for
    no place yet. `mended`: their own weight or status changed; others moved along with those."""

    section: str | None
    who: str
    before: str | None
    after: str | None
    mended: bool


def standing_of_result(result: MatchResult) -> dict[str, Any]:
    """What stands now."""
    return {
        "sections": {
            s.label: {e.peg: [e.angler, e.place, e.weight, e.status] for e in s.entries}
            for s in result.sections
        },
        "teams": {t.team: t.rank for t in result.teams},
    }


def standing_of_bulletin(body: Mapping[str, Any]) -> dict[str, Any]:
    """What a bulletin said."""
    return {
        "sections": {
            s["label"]: {
                e["peg"]: [e["angler"], e["place"], e["weight"], e["status"]] for e in s["entries"]
            }
            for s in body["sections"]
        },
        "teams": {t["team"]: t["rank"] for t in body["teams"]},
    }


def moves(before: Standing, after: Standing) -> list[Move]:
    """Who has another place now: by section in bank order, whose own weight or status changed
    first; then teams. A weight that changed and moved nobody is no move."""
    found: list[Move] = []
    for label, now in after["sections"].items():
        was = before["sections"].get(label, {})
        of_section = [
            Move(label, row[0], old[1], row[1], mended=old[2:] != row[2:])
            for peg, row in now.items()
            if (old := was.get(peg, [None] * 4))[1] != row[1]
        ]
        found += sorted(of_section, key=lambda m: not m.mended)
    for team, rank in after["teams"].items():
        old_rank = before["teams"].get(team)
        if old_rank != rank:
            found.append(Move(None, team, _text(old_rank), _text(rank), mended=False))
    return found


def _text(rank: int | None) -> str | None:
    return None if rank is None else str(rank)
