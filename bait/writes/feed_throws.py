"""Where a feed is thrown: what the body of such a fact must hold, and keeping one at the desk."""

from __future__ import annotations

from matches.models import Match
from matches.writes.facts.shape import FactReading

from .club_baits import ClubBaits

#: From and to, in centimetres: upstream of where the rig goes in (below zero downstream), out from
#: the bank, and the length of a rod that distances are told in.
UPSTREAM_CM = (-10_000, 10_000)
OUT_CM = (0, 10_000)
ROD_CM = (50, 2_000)
BALL_MM = (20, 200)


class FeedThrowCheck:
    """Checks throws of one batch."""

    def __init__(self, baits: ClubBaits) -> None:
        self._baits = baits

    def __call__(self, reading: FactReading, body: object, *, match: Match) -> None:
        """`{"bait": key or "ball_mm": whole, "upstream_cm": whole}`, and where known `"out_cm"`
        and `"rod_cm"`, whole or null.
        """
        raw = reading.read_object(
            body,
            ("body",),
            needs=("upstream_cm",),
            may=("bait", "ball_mm", "out_cm", "rod_cm"),
        )
        given = [key for key in ("bait", "ball_mm") if raw.get(key) is not None]
        if isinstance(body, dict) and len(given) != 1:
            reading.fault(("body",), "Say what is thrown: a bait, or balls of so many mm.")
        elif given == ["bait"]:
            self._baits.check(reading, raw["bait"], ("body", "bait"), match=match)
        bounds = {
            "ball_mm": BALL_MM,
            "upstream_cm": UPSTREAM_CM,
            "out_cm": OUT_CM,
            "rod_cm": ROD_CM,
        }
        for key, (least, most) in bounds.items():
            if raw.get(key) is not None:
                reading.read_whole(raw[key], ("body", key), least=least, most=most)
        if "upstream_cm" in raw and raw["upstream_cm"] is None:
            reading.fault(("body", "upstream_cm"), "Say how far upstream it goes in.")
