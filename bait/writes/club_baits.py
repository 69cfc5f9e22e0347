"""Whether a key is one of a club's baits, read once a batch of facts."""

from __future__ import annotations

from bait.models import Bait
from matches.models import Match
from matches.reckon.reading import Where
from matches.writes.facts.shape import FactReading


class ClubBaits:
    """The clubs' baits, each club's read at the first question: one query."""

    def __init__(self) -> None:
        self._keys: dict[int, frozenset[str]] = {}

    def check(self, reading: FactReading, key: object, where: Where, *, match: Match) -> None:
        """Note a fault unless `key` is a bait of the match's club."""
        if match.club_id not in self._keys:
            keys = Bait.objects.filter(club_id=match.club_id).values_list("key", flat=True)
            self._keys[match.club_id] = frozenset(keys)
        if not isinstance(key, str) or key not in self._keys[match.club_id]:
            reading.fault(where, "Use the key of one of the club's baits.")
