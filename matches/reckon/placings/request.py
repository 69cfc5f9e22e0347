"""What is asked of the placings calculator, and the reading of it from JSON."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from typing import Final, Literal, cast

from ..reading import Reading, Where
from ..weights import WEIGHT_MOST, WEIGHT_UNITS, WeightUnit
from .scheme import INTERNATIONAL, Scheme, scheme_read

Status = Literal["weighed", "absent", "disqualified", "retired"]
TieBreak = Literal["weight", "best_place", "best_weight"]

STATUSES: Final = ("weighed", "absent", "disqualified", "retired")
TIE_BREAKS: Final[tuple[TieBreak, ...]] = ("weight", "best_place", "best_weight")
SIZE_MOST: Final = 100_000
SCORE_MOST: Final = 1_000_000_000


@dataclass(frozen=True, slots=True)
class Entry:
    """One angler in a section: `team` None fishes alone, `weight` is in the match's unit.

    `score` is the points of the fish where these are scored: then it places, and the weight parts
    those level on it.
    """

    angler: str
    team: str | None
    weight: int
    status: Status = "weighed"
    score: int | None = None

    @property
    def fished(self) -> bool:
        """Whether the angler is placed by weight; the retired keep what was weighed."""
        return self.status in ("weighed", "retired")

    @property
    def counted_weight(self) -> int:
        """The weight that counts: nothing for the absent and the disqualified."""
        return self.weight if self.fished else 0

    @property
    def counted_score(self) -> int | None:
        """The score that counts, like the weight."""
        return self.score if self.fished or self.score is None else 0


@dataclass(frozen=True, slots=True)
class Section:
    """One section: its entries and the size that blanks and absence are reckoned with."""

    id: str
    entries: tuple[Entry, ...]
    size: int | None = None

    @property
    def anglers(self) -> int:
        """The size; by default the number of entries."""
        return len(self.entries) if self.size is None else self.size


@dataclass(frozen=True, slots=True)
class PlacingsRequest:
    """The sections of one match and how to score them.

    `team_tie_breaks` are tried in their order between teams level on points: `weight` (the
    greater total), `best_place` (the better best single place), `best_weight` (the greater
    best single weight). With `teams_ranked_without_singles` the team count leaves out entrants
    without a team and places the others again, in sections smaller by as many.
    """

    sections: tuple[Section, ...]
    weight_unit: WeightUnit = "g"
    scheme: Scheme = INTERNATIONAL
    team_tie_breaks: tuple[TieBreak, ...] = TIE_BREAKS
    teams_ranked_without_singles: bool = False


def placings_parse(raw: object) -> PlacingsRequest:
    """Read a request as described in the API. Raises BadInput with every fault and its pointer."""
    reading = Reading()
    body = reading.read_object(
        raw,
        (),
        needs=("sections",),
        may=("weight_unit", "scheme", "team_tie_breaks", "teams_ranked_without_singles"),
    )
    unit = cast(
        WeightUnit,
        reading.read_word(body.get("weight_unit", "g"), ("weight_unit",), words=WEIGHT_UNITS),
    )
    rules = _rules_read(reading, body, unit=unit)
    request = replace(
        rules,
        sections=tuple(_sections_read(reading, body.get("sections"), unit=unit))
        if "sections" in body
        else (),
    )
    _repeats_note(reading, request)
    reading.finish()
    return request


def placings_rules_parse(raw: object) -> PlacingsRequest:
    """The request without its sections, for a match that has stored weights to put into it; these
    count as they are, however much they say. Raises BadInput like `placings_parse`."""
    reading = Reading()
    body = reading.read_object(raw, (), needs=("weight_unit",), may=("scheme", "team_tie_breaks"))
    unit = cast(WeightUnit, body.get("weight_unit", "g"))
    rules = _rules_read(reading, body, unit=unit)
    reading.finish()
    return rules


def _rules_read(reading: Reading, body: dict[str, object], *, unit: WeightUnit) -> PlacingsRequest:
    return PlacingsRequest(
        sections=(),
        weight_unit=unit,
        scheme=scheme_read(reading, body.get("scheme", "international"), ("scheme",)),
        team_tie_breaks=_tie_breaks_read(reading, body.get("team_tie_breaks", list(TIE_BREAKS))),
        teams_ranked_without_singles=_singles_read(reading, body),
    )


def _singles_read(reading: Reading, body: dict[str, object]) -> bool:
    """The flag, which may stand beside the scheme or in it, but says one thing."""
    key, scheme = "teams_ranked_without_singles", body.get("scheme")
    flags = [reading.read_flag(body[key], (key,))] if key in body else []
    if isinstance(scheme, dict) and key in scheme:
        flags.append(reading.read_flag(scheme[key], ("scheme", key)))
    if len(set(flags)) > 1:
        reading.fault((key,), "The scheme says otherwise: say it once.")
    return True in flags


def _tie_breaks_read(reading: Reading, raw: object) -> tuple[TieBreak, ...]:
    twice = "This tie-break stands here twice: name it once."
    words = reading.read_words(raw, ("team_tie_breaks",), words=TIE_BREAKS, twice=twice)
    return tuple(cast(TieBreak, word) for word in words)


def _sections_read(reading: Reading, raw: object, *, unit: WeightUnit) -> Iterator[Section]:
    at: Where = ("sections",)
    empty = "There is no section: give at least one."
    for i, item in enumerate(reading.read_list(raw, at, empty=empty)):
        where = (*at, i)
        body = reading.read_object(item, where, needs=("id", "entries"), may=("size",))
        entries = tuple(
            _entry_read(reading, entry, (*where, "entries", n), unit=unit)
            for n, entry in enumerate(
                reading.read_list(body.get("entries", []), (*where, "entries"))
            )
        )
        name = reading.read_id(body["id"], (*where, "id")) if "id" in body else ""
        yield Section(id=name, entries=entries, size=_size_read(reading, body, where))


def _size_read(reading: Reading, body: dict[str, object], where: Where) -> int | None:
    """The size given for a section, never smaller than its entries."""
    at = (*where, "size")
    raw, entries = body.get("size"), body.get("entries")
    if raw is None:
        return None
    size = reading.read_whole(raw, at, least=0, most=SIZE_MOST)
    if isinstance(entries, list) and size < len(entries) and isinstance(raw, int) and raw >= 0:
        reading.fault(at, f"The size cannot be below the number of entries ({len(entries)}).")
    return size


def _entry_read(reading: Reading, raw: object, where: Where, *, unit: WeightUnit) -> Entry:
    body = reading.read_object(
        raw, where, needs=("angler",), may=("team", "weight", "status", "score")
    )
    if not isinstance(raw, dict):
        return Entry(angler="", team=None, weight=0)
    status = cast(
        Status,
        reading.read_word(body.get("status", "weighed"), (*where, "status"), words=STATUSES),
    )
    team = body.get("team")
    return Entry(
        angler=reading.read_id(body["angler"], (*where, "angler")) if "angler" in body else "",
        team=None if team is None else reading.read_id(team, (*where, "team")),
        weight=_weight_read(reading, body, where, status=status, unit=unit),
        status=status,
        score=None
        if body.get("score") is None
        else reading.read_whole(body["score"], (*where, "score"), least=0, most=SCORE_MOST),
    )


def _weight_read(
    reading: Reading, body: dict[str, object], where: Where, *, status: Status, unit: WeightUnit
) -> int:
    """The weight; only those who did not fish to the end under the rules may leave it out."""
    at = (*where, "weight")
    raw = body.get("weight")
    if raw is None and status in ("absent", "disqualified"):
        return 0
    if raw is None:
        reading.fault(at, "The weight is missing: give it, 0 for a blank.")
        return 0
    weight = reading.read_whole(raw, at, least=0, most=WEIGHT_MOST[unit])
    if status == "absent" and weight:
        reading.fault(at, "An absent angler cannot have weighed in: give 0, or mend the status.")
    return weight


def _repeats_note(reading: Reading, request: PlacingsRequest) -> None:
    reading.note_repeats(
        ((s.id, ("sections", i, "id")) for i, s in enumerate(request.sections)),
        message="Another section has this id: give each its own.",
    )
    reading.note_repeats(
        (
            (entry.angler, ("sections", i, "entries", n, "angler"))
            for i, section in enumerate(request.sections)
            for n, entry in enumerate(section.entries)
        ),
        message="This angler is entered already: enter each once.",
    )
    _scores_note(reading, request)


def _scores_note(reading: Reading, request: PlacingsRequest) -> None:
    """Fish are scored for everybody or for nobody."""
    entries = [
        (entry, ("sections", i, "entries", n, "score"))
        for i, section in enumerate(request.sections)
        for n, entry in enumerate(section.entries)
    ]
    if any(entry.score is not None for entry, _ in entries):
        for entry, where in entries:
            if entry.score is None:
                reading.fault(where, "Others have a score: give one here too, 0 for no fish.")
