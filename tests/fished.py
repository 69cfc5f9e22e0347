"""A match fished: weights logged at the desk, and its bulletins."""

from __future__ import annotations

import uuid
from typing import Any

from matches.models import Bulletin, Fact
from matches.writes.bulletins import bulletin_publish
from matches.writes.facts import fact_log_at_desk

WEIGHTS = {"1": 4250, "2": 3000, "4": 3000, "5": 1200}


def weigh(
    world: Any,
    peg: str,
    weight: int,
    *,
    by: Any = None,
    supersedes: uuid.UUID | None = None,
    **body: Any,
) -> Fact:
    """A net of so many grams, logged by the weigher unless said otherwise; `body` is what else
    the fact says."""
    return fact_log_at_desk(
        by or world.weigher,
        match=world.match,
        kind="weigh_in",
        peg=peg,
        body={"net": 1, "weight": weight, "unit": "g", "witness": None, **body},
        supersedes=supersedes,
    )


def weigh_all(world: Any, weights: dict[str, int] = WEIGHTS) -> None:
    for peg, weight in weights.items():
        weigh(world, peg, weight)


def publish(world: Any, **given: Any) -> Bulletin:
    """The world's match as it is by now, published by the secretary."""
    world.match.refresh_from_db()
    return bulletin_publish(world.secretary, match=world.match, **given)
