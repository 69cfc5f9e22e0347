"""What the body of a feed note must hold."""

from __future__ import annotations

from bait.models import PLAN_UNIT_VALUES, Bait
from matches.models import Match
from matches.writes.facts.shape import FactReading

AMOUNT_MOST = 1_000
#: A plan's throws and bags too: a phone logs what its plan says.
UNITS = tuple(PLAN_UNIT_VALUES)


class FeedNoteCheck:
    """Checks feed notes of one batch: the club's baits are read once, at the first note."""

    def __init__(self) -> None:
        self._baits: dict[int, frozenset[str]] = {}

    def __call__(self, reading: FactReading, body: object, *, match: Match) -> None:
        """`{"bait": key, "amount": decimal string, "unit": …, "line": words, "stage": no or null}`.

        `stage` counts the plan's stages from 0; null is feed outside the plan.
        """
        raw = reading.read_object(
            body, ("body",), needs=("bait", "amount", "unit"), may=("line", "stage")
        )
        if "bait" in raw:
            self._bait_check(reading, raw["bait"], match)
        if "amount" in raw:
            reading.read_decimal(raw["amount"], ("body", "amount"), most=AMOUNT_MOST)
        if "unit" in raw:
            reading.read_word(raw["unit"], ("body", "unit"), words=UNITS)
        if "line" in raw:
            reading.read_text(raw["line"], ("body", "line"), most=40)
        if raw.get("stage") is not None:
            reading.read_whole(raw["stage"], ("body", "stage"), least=0, most=200)

    def _bait_check(self, reading: FactReading, key: object, match: Match) -> None:
        if match.club_id not in self._baits:
            keys = Bait.objects.filter(club_id=match.club_id).values_list("key", flat=True)
            self._baits[match.club_id] = frozenset(keys)
        if not isinstance(key, str) or key not in self._baits[match.club_id]:
            reading.fault(("body", "bait"), "Use the key of one of the club's baits.")
