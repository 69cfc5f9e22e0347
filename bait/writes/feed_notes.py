"""What the body of a feed note must hold."""

from __future__ import annotations

from bait.models import PLAN_UNIT_VALUES
from matches.models import Match
from matches.writes.facts.shape import FactReading

from .club_baits import ClubBaits

AMOUNT_MOST = 1_000
#: A plan's throws and bags too: a phone logs what its plan says.
UNITS = tuple(PLAN_UNIT_VALUES)


class FeedNoteCheck:
    """Checks feed notes of one batch."""

    def __init__(self, baits: ClubBaits) -> None:
        self._baits = baits

    def __call__(self, reading: FactReading, body: object, *, match: Match) -> None:
        """`{"bait": key, "amount": decimal string, "unit": …, "line": words, "stage": no or null}`.

        `stage` counts the plan's stages from 0; null is feed outside the plan.
        """
        raw = reading.read_object(
            body, ("body",), needs=("bait", "amount", "unit"), may=("line", "stage")
        )
        if "bait" in raw:
            self._baits.check(reading, raw["bait"], ("body", "bait"), match=match)
        if "amount" in raw:
            reading.read_decimal(raw["amount"], ("body", "amount"), most=AMOUNT_MOST)
        if "unit" in raw:
            reading.read_word(raw["unit"], ("body", "unit"), words=UNITS)
        if "line" in raw:
            reading.read_text(raw["line"], ("body", "line"), most=40)
        if raw.get("stage") is not None:
            reading.read_whole(raw["stage"], ("body", "stage"), least=0, most=200)
