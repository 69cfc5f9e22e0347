"""What the body of a jar test must hold: one drop of a feed, timed through a jar of water."""

from __future__ import annotations

from bait.reckon.feed_tests import JAR_CM, QUICKEST_MS, SINK_MM_S, SLOWEST_MS
from matches.models import Match
from matches.writes.facts.shape import FactReading

from .club_baits import ClubBaits

KEYS = ("jar_cm", "ms", "floats", "aside", "again")
_JAR = f"Write how deep the water in the jar is: {JAR_CM[0]} to {JAR_CM[1]} whole cm."
_TOO_QUICK = "Nothing falls through a jar in less than 0.2 s: drop it again, and time that."
_TOO_LONG = "Ten minutes in a jar is no fall: say that it floats, or drop it again."
_NO_SPEED = (
    "No feed sinks at that speed: measure the water in the jar again, or say that it floats."
)
_ONE_WAY = "Say how long it fell (jar_cm and ms), or that it floats, or whose test to leave aside."


class FeedTestCheck:
    """Checks jar tests of one batch."""

    def __init__(self, baits: ClubBaits) -> None:
        self._baits = baits

    def __call__(self, reading: FactReading, body: object, *, match: Match) -> None:
        """`{"bait": key, "jar_cm": whole, "ms": whole}`: a drop that fell.

        Or `{"bait", "floats": true}` for one that did not, or `{"bait", "aside": {"match",
        "author"}}`: the writer leaves that person's test of the bait in that match aside, and
        with `"again"` uses it again.
        """
        raw = reading.read_object(body, ("body",), needs=("bait",), may=KEYS)
        if "bait" in raw:
            self._baits.check(reading, raw["bait"], ("body", "bait"), match=match)
        said = {key for key in KEYS if raw.get(key) is not None}
        if said == {"jar_cm", "ms"}:
            _drop_check(reading, raw["jar_cm"], raw["ms"])
        elif said == {"floats"}:
            if raw["floats"] is not True:
                reading.fault(("body", "floats"), "Write true, or leave it out.")
        elif said in ({"aside"}, {"again"}):
            (key,) = said
            _whose_check(reading, raw[key], key)
        elif isinstance(body, dict):
            reading.fault(("body",), _ONE_WAY)


def _drop_check(reading: FactReading, jar_cm: object, ms: object) -> None:
    if type(jar_cm) is not int or not JAR_CM[0] <= jar_cm <= JAR_CM[1]:
        reading.fault(("body", "jar_cm"), _JAR)
    elif type(ms) is not int or ms < QUICKEST_MS:
        reading.fault(("body", "ms"), _TOO_QUICK)
    elif ms > SLOWEST_MS:
        reading.fault(("body", "ms"), _TOO_LONG)
    elif not SINK_MM_S[0] <= jar_cm * 10_000 / ms <= SINK_MM_S[1]:
        reading.fault(("body", "ms"), _NO_SPEED)


def _whose_check(reading: FactReading, raw: object, key: str) -> None:
    where = ("body", key)
    whose = reading.read_object(raw, where, needs=("match", "author"))
    for name in ("match", "author"):
        if not isinstance(whose.get(name, ""), str):
            reading.fault((*where, name), "Write this number as a string.")
        elif name in whose:
            reading.read_match(whose[name], (*where, name))
