"""Facts of one phone, handed in as the phone would."""

from __future__ import annotations

import uuid
from typing import Any

from matches.writes.facts import facts_store, match_body_checks

PHONE = uuid.UUID("01890a5d-ac96-7000-8000-00000000beef")


def from_phone(world: Any, seq: int, **given: Any) -> dict[str, Any]:
    """The phone's fact of that number: a weigh-in of 1000 + `seq` g at peg 1 unless told
    otherwise."""
    return {
        "id": str(uuid.UUID(int=seq)),
        "device": str(PHONE),
        "seq": seq,
        "kind": "weigh_in",
        "match": str(world.match.pk),
        "peg": "1",
        "recorded_at": "2026-06-20T13:05:11.250Z",
        "body": {"net": 1, "weight": 1000 + seq % 1000, "unit": "g"},
    } | given


def handed_in(person: Any, *facts: Any) -> list[str]:
    """What is answered to each."""
    outcomes = facts_store(person, facts=facts, body_checks=match_body_checks())
    return [outcome.verdict.value for outcome in outcomes]
