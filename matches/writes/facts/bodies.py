"""What the body of each kind of fact must hold, for the kinds this room knows."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Protocol

from matches.models import FactKind, Match, ScoredBy, WeightUnit

from .shape import FactReading

WEIGHT_MOST = 2_000_000
NETS = 9
UNITS = tuple(WeightUnit.values)
TEXT_LONGEST = 500
LINE_LONGEST = 40
FISH_MOST = 10_000
WARMEST_TENTHS = 300  # where the reckoning of water ends
FISH_SIZES = ("small", "middling", "good")


class BodyCheck(Protocol):
    """Notes a fault in `reading` for everything wrong with the body of one fact of `match`.

    Bodies stand at `("body", …)`. A check is called once a fact, so it keeps what it looked up.
    """

    def __call__(self, reading: FactReading, body: object, *, match: Match) -> None: ...


def match_body_checks() -> Mapping[str, BodyCheck]:
    """The checks of every kind but those of feed, which need to know about bait."""
    return {
        FactKind.WEIGH_IN: weigh_in_check,
        FactKind.FISH_NOTE: fish_note_check,
        FactKind.PEG_NOTE: peg_note_check,
        FactKind.LINE_NOTE: line_note_check,
        FactKind.SIGNAL: signal_check,
        FactKind.SCRATCH: scratch_check,
        FactKind.RULING: ruling_check,
    }


def weigh_in_check(reading: FactReading, body: object, *, match: Match) -> None:
    """`{"net": 1-9, "weight": whole, "unit": the match's, "witness": who saw it or null}`.

    Where fish are scored also `"fish": [["Roach", 12], …]`, which phones of before leave out.
    `"reweigh": true` says that the net was weighed again because somebody asked for it.
    """
    raw = reading.read_object(
        body, ("body",), needs=("net", "weight", "unit"), may=("witness", "fish", "reweigh")
    )
    if "net" in raw:
        reading.read_whole(raw["net"], ("body", "net"), least=1, most=NETS)
    if "weight" in raw:
        reading.read_whole(raw["weight"], ("body", "weight"), least=0, most=WEIGHT_MOST)
    if "unit" in raw:
        unit = reading.read_word(raw["unit"], ("body", "unit"), words=UNITS)
        if raw["unit"] == unit != match.weight_unit:
            reading.fault(
                ("body", "unit"), f'This match is weighed in "{match.weight_unit}": convert it.'
            )
    reading.read_text_or_null(raw.get("witness"), ("body", "witness"), most=120)
    if "reweigh" in raw:
        reading.read_flag(raw["reweigh"], ("body", "reweigh"))
    if raw.get("fish") is not None:
        _fish_check(reading, raw["fish"], match=match)


def _fish_check(reading: FactReading, raw: object, *, match: Match) -> None:
    """Pairs of a species and how many. A match that scores them no more takes any name."""
    at = ("body", "fish")
    known = {row["name"] for row in match.species} if match.scored_by == ScoredBy.FISH else None
    named: list[tuple[str, tuple[str | int, ...]]] = []
    for i, pair in enumerate(reading.read_list(raw, at)):
        where = (*at, i)
        if not isinstance(pair, list) or len(pair) != 2:
            reading.fault(where, 'Write a species and how many, such as ["Roach", 12].')
            continue
        species = reading.read_text(pair[0], (*where, 0), most=60, empty=False)
        if species and known is not None and species not in known:
            names = ", ".join(sorted(known))
            reading.fault((*where, 0), f"This species is not scored here. Use one of: {names}.")
        reading.read_whole(pair[1], (*where, 1), least=0, most=FISH_MOST)
        named.append((species, (*where, 0)))
    reading.note_repeats(named, message="This species stands here twice: count it once.")


def fish_note_check(reading: FactReading, body: object, *, match: Match) -> None:
    """`{"species": str, "count": whole from 1, "weight": whole in the match's unit or null}`.

    `"size"`, `"line"` and `"about"`, a guess at what all of them weigh, come from a tap at the
    peg. A guess never stands in `"weight"`, which the scales said: pools pay by that.
    """
    raw = reading.read_object(
        body, ("body",), needs=("species", "count"), may=("weight", "size", "about", "line")
    )
    if "species" in raw:
        reading.read_text(raw["species"], ("body", "species"), most=60, empty=False)
    if "count" in raw:
        reading.read_whole(raw["count"], ("body", "count"), least=1, most=FISH_MOST)
    for key in ("weight", "about"):
        if raw.get(key) is not None:
            reading.read_whole(raw[key], ("body", key), least=0, most=WEIGHT_MOST)
    if raw.get("size") is not None:
        reading.read_word(raw["size"], ("body", "size"), words=FISH_SIZES)
    if "line" in raw:
        reading.read_text(raw["line"], ("body", "line"), most=LINE_LONGEST)


def peg_note_check(reading: FactReading, body: object, *, match: Match) -> None:
    """Depth, a float run to reckon the flow from, where the rig settles and after how long, the
    water's warmth, snags, and words.
    """
    raw = reading.read_object(
        body,
        ("body",),
        needs=(),
        may=(
            "depth_cm",
            "float_run",
            "rig_settles_cm",
            "rig_settles_ms",
            "celsius_tenths",
            "snags",
            "note",
        ),
    )
    if raw.get("depth_cm") is not None:
        reading.read_whole(raw["depth_cm"], ("body", "depth_cm"), least=0, most=5_000)
    if raw.get("rig_settles_cm") is not None:
        reading.read_whole(
            raw["rig_settles_cm"], ("body", "rig_settles_cm"), least=-10_000, most=10_000
        )
    for key, most in (("rig_settles_ms", 3_600_000), ("celsius_tenths", WARMEST_TENTHS)):
        if raw.get(key) is not None:
            reading.read_whole(raw[key], ("body", key), least=0, most=most)
    if raw.get("float_run") is not None:
        _float_run_check(reading, raw["float_run"])
    for key in ("snags", "note"):
        if key in raw:
            reading.read_text(raw[key], ("body", key), most=TEXT_LONGEST)


def _float_run_check(reading: FactReading, run: object) -> None:
    raw = reading.read_object(run, ("body", "float_run"), needs=("distance_cm", "ms"))
    if "distance_cm" in raw:
        reading.read_whole(
            raw["distance_cm"], ("body", "float_run", "distance_cm"), least=1, most=100_000
        )
    if "ms" in raw:
        reading.read_whole(raw["ms"], ("body", "float_run", "ms"), least=1, most=3_600_000)


def line_note_check(reading: FactReading, body: object, *, match: Match) -> None:
    """`{"line": its name}`: what is fished from then on; empty for the one without a name."""
    raw = reading.read_object(body, ("body",), needs=("line",))
    if "line" in raw:
        reading.read_text(raw["line"], ("body", "line"), most=LINE_LONGEST)


def signal_check(reading: FactReading, body: object, *, match: Match) -> None:
    """`{"signal": "start" | "five_minutes" | "end"}`."""
    raw = reading.read_object(body, ("body",), needs=("signal",))
    if "signal" in raw:
        reading.read_word(raw["signal"], ("body", "signal"), words=("start", "five_minutes", "end"))


def scratch_check(reading: FactReading, body: object, *, match: Match) -> None:
    """`{"why": words}`; what it withdraws stands in the fact's `supersedes`."""
    raw = reading.read_object(body, ("body",), needs=("why",))
    if "why" in raw:
        reading.read_text(raw["why"], ("body", "why"), most=TEXT_LONGEST)


def ruling_check(reading: FactReading, body: object, *, match: Match) -> None:
    """`{"disagreement": its number, "stands": the id of the fact that stands}`.

    Null stands for none of them: for a net that came late, where nothing stood before.
    """
    raw = reading.read_object(body, ("body",), needs=("disagreement", "stands"))
    if "disagreement" in raw:
        reading.read_whole(raw["disagreement"], ("body", "disagreement"), least=1, most=2**63 - 1)
    if raw.get("stands") is not None:
        reading.read_uuid(raw["stands"], ("body", "stands"))
