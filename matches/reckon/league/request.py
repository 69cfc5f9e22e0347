"""What is asked of the league calculator, and the reading of it from JSON."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field
from fractions import Fraction
from typing import Final, Literal, cast

from ..reading import Reading, Where
from ..weights import WEIGHT_UNITS, WeightUnit
from .rules import ROUNDS_MOST, RULE_KEYS, LeagueRules, points_read, rules_read

Status = Literal["fished", "absent", "disqualified", "to_weigh"]

STATUSES: Final = ("fished", "absent", "disqualified", "to_weigh")
WEIGHT_MOST: Final = 1_000_000_000
"""A team's weight is of many anglers: above any, and far below what a number holds exactly."""
SCORES_MOST: Final = 100_000


@dataclass(frozen=True, slots=True)
class RoundEntry:
    """What one angler or team took from a round.

    `weight` is what counts, in the round's unit. Who is still `to_weigh` has no points yet.
    """

    id: str
    points: Fraction
    weight: int = 0
    place: Fraction | None = None
    status: Status = "fished"


@dataclass(frozen=True, slots=True)
class Round:
    """One round that was held."""

    id: str
    entries: tuple[RoundEntry, ...]
    weight_unit: WeightUnit = "g"

    @property
    def scored(self) -> bool:
        """Whether anybody has points in it: before that it is nobody's missed round."""
        return any(entry.status != "to_weigh" for entry in self.entries)


@dataclass(frozen=True, slots=True)
class LeagueRequest:
    """The rounds held so far in their order, and the rules of the league."""

    rounds: tuple[Round, ...]
    rules: LeagueRules = field(default_factory=LeagueRules)


def league_parse(raw: object) -> LeagueRequest:
    """Read a request as described in the API. Raises BadInput with every fault and its pointer."""
    reading = Reading()
    body = reading.read_object(raw, (), needs=("rounds",), may=RULE_KEYS)
    request = LeagueRequest(
        rounds=tuple(_rounds_read(reading, body.get("rounds", []))),
        rules=rules_read(reading, body),
    )
    _repeats_note(reading, request)
    reading.finish()
    return request


def league_rules_parse(raw: object) -> LeagueRules:
    """Read the rules alone: a request without its rounds. Raises BadInput."""
    reading = Reading()
    rules = rules_read(reading, reading.read_object(raw, (), needs=(), may=RULE_KEYS))
    reading.finish()
    return rules


def _rounds_read(reading: Reading, raw: object) -> Iterator[Round]:
    at: Where = ("rounds",)
    rows = reading.read_list(raw, at)
    if len(rows) > ROUNDS_MOST:
        reading.fault(at, f"At most {ROUNDS_MOST} rounds make a league.")
        return
    for i, item in enumerate(rows):
        where = (*at, i)
        body = reading.read_object(item, where, needs=("id", "entries"), may=("weight_unit",))
        unit = body.get("weight_unit", "g")
        yield Round(
            id=reading.read_id(body["id"], (*where, "id")) if "id" in body else "",
            entries=tuple(_entries_read(reading, body.get("entries", []), (*where, "entries"))),
            weight_unit=cast(
                WeightUnit, reading.read_word(unit, (*where, "weight_unit"), words=WEIGHT_UNITS)
            ),
        )


def _entries_read(reading: Reading, raw: object, at: Where) -> Iterator[RoundEntry]:
    for i, item in enumerate(reading.read_list(raw, at)):
        where = (*at, i)
        body = reading.read_object(
            item, where, needs=("id",), may=("points", "weight", "place", "status")
        )
        status = cast(
            Status,
            reading.read_word(body.get("status", "fished"), (*where, "status"), words=STATUSES),
        )
        place = body.get("place")
        yield RoundEntry(
            id=reading.read_id(body["id"], (*where, "id")) if "id" in body else "",
            points=_entry_points(reading, body, where, status=status),
            weight=_weight_read(reading, body, where),
            place=None if place is None else points_read(reading, place, (*where, "place")),
            status=status,
        )


def _entry_points(
    reading: Reading, body: dict[str, object], where: Where, *, status: Status
) -> Fraction:
    at, raw = (*where, "points"), body.get("points")
    if status == "to_weigh":
        if raw is not None:
            reading.fault(at, "Who is still to weigh has no points yet: leave them out.")
        return Fraction(0)
    if raw is None:
        reading.fault(at, "The points are missing: give them as a decimal string.")
        return Fraction(0)
    return points_read(reading, raw, at)


def _weight_read(reading: Reading, body: dict[str, object], where: Where) -> int:
    raw = body.get("weight")
    if raw is None:
        return 0
    return reading.read_whole(raw, (*where, "weight"), least=0, most=WEIGHT_MOST)


def _repeats_note(reading: Reading, request: LeagueRequest) -> None:
    reading.note_repeats(
        ((r.id, ("rounds", i, "id")) for i, r in enumerate(request.rounds)),
        message="Another round has this id: give each its own.",
    )
    for i, held in enumerate(request.rounds):
        reading.note_repeats(
            ((e.id, ("rounds", i, "entries", n, "id")) for n, e in enumerate(held.entries)),
            message="This id stands in the round already: enter each once.",
        )
    entrants = {e.id for held in request.rounds for e in held.entries}
    if len(entrants) * len(request.rounds) > SCORES_MOST:
        reading.fault(
            ("rounds",), f"Rounds times entrants may come to {SCORES_MOST}: ask for fewer at once."
        )
