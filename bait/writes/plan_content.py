"""A plan as it is sent in, read with every fault in its place."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

from bait.models import StageKind
from bait.reckon.plans import MOST_FEEDS, MOST_STAGES, Balls, Feed, PlannedMix, PlannedStage
from matches.reckon.reading import Reading, Where

from .content_fields import bait_key_read, list_read, whole_read, words_read
from .mix_content import MOST_MIXES, amount_of_bait_read, mixes_read

MOST_SUBSTITUTES = 40
NOTE_LONGEST = 2_000


@dataclass(frozen=True, slots=True)
class StageContent:
    """A stage with its note; its kind and line are the planned stage's."""

    note: str
    planned: PlannedStage


@dataclass(frozen=True, slots=True)
class Substitute:
    """The key of a bait, and of the one to take where it cannot be had."""

    bait: str
    instead: str


@dataclass(frozen=True, slots=True)
class PlanContent:
    """What a plan is to become. `version` is the one it was made from, 0 where there was none."""

    version: int
    spare_percent: int
    note: str
    stages: tuple[StageContent, ...]
    mixes: tuple[PlannedMix, ...] = ()
    substitutes: tuple[Substitute, ...] = ()

    @property
    def planned(self) -> tuple[PlannedStage, ...]:
        return tuple(stage.planned for stage in self.stages)


def plan_content_parse(raw: object) -> PlanContent:
    """Read {"version", "spare_percent", "note", "mixes": [{"name", "water_per_dry",
    "rest_minutes", "swell", "squeeze", "packing", "film_mm", "parts": [{"bait", "amount", "unit",
    "after_rest"}]}], "stages": [{"kind", "line", "start_minute", "end_minute", "every_seconds",
    "note", "balls": {"count", "mm", "mix"} or null, "feeds": [{"bait", "amount", "unit"}]}],
    "substitutes": [{"bait", "instead"}]}.

    "mixes", "balls" and "substitutes" may be left out. A feed or part may carry its bait's
    `name`, as it was given out; it is not looked at. Raises BadInput with every fault.
    """
    reading = Reading()
    plan = reading.read_object(
        raw,
        (),
        needs=("version", "stages"),
        may=("spare_percent", "note", "mixes", "substitutes"),
    )
    content = PlanContent(
        version=whole_read(reading, plan, "version", (), least=0, most=10**9),
        spare_percent=whole_read(reading, plan, "spare_percent", (), least=0, most=100, default=0),
        note=words_read(reading, plan, "note", (), most=NOTE_LONGEST),
        mixes=mixes_read(reading, list_read(reading, plan, "mixes", (), most=MOST_MIXES)),
        stages=tuple(
            _stage(reading, stage, ("stages", at))
            for at, stage in enumerate(list_read(reading, plan, "stages", (), most=MOST_STAGES))
        ),
        substitutes=_substitutes(
            reading, list_read(reading, plan, "substitutes", (), most=MOST_SUBSTITUTES)
        ),
    )
    _mixes_of_balls_check(reading, content)
    reading.finish()
    return content


def _stage(reading: Reading, raw: object, where: Where) -> StageContent:
    stage = reading.read_object(
        raw,
        where,
        needs=("kind", "end_minute", "feeds"),
        may=("line", "start_minute", "every_seconds", "note", "balls"),
    )
    return StageContent(
        note=words_read(reading, stage, "note", where, most=200),
        planned=PlannedStage(
            start_minute=whole_read(
                reading, stage, "start_minute", where, least=-60, most=1440, default=0
            ),
            end_minute=whole_read(reading, stage, "end_minute", where, least=-60, most=1440),
            every_seconds=_rhythm(reading, stage, where),
            feeds=tuple(
                _feed(reading, feed, (*where, "feeds", n))
                for n, feed in enumerate(list_read(reading, stage, "feeds", where, most=MOST_FEEDS))
            ),
            kind=reading.read_word(stage["kind"], (*where, "kind"), words=StageKind.values)
            if "kind" in stage
            else "feed",
            line=words_read(reading, stage, "line", where, most=40),
            balls=_balls(reading, stage.get("balls"), (*where, "balls")),
        ),
    )


def _rhythm(reading: Reading, stage: dict[str, Any], where: Where) -> int | None:
    every = stage.get("every_seconds")
    if every is None:
        return None
    if every == 0 and every is not False:
        reading.fault(
            (*where, "every_seconds"),
            "A rhythm of 0 seconds never ends: say after how many seconds the next throw comes, "
            "or leave it empty to feed once.",
        )
        return None
    return reading.read_whole(every, (*where, "every_seconds"), least=1, most=86_400)


def _balls(reading: Reading, raw: object, where: Where) -> Balls | None:
    if raw is None:
        return None
    balls = reading.read_object(raw, where, needs=("count", "mm", "mix"))
    return Balls(
        count=whole_read(reading, balls, "count", where, least=1, most=500),
        mm=whole_read(reading, balls, "mm", where, least=20, most=200),
        mix=words_read(reading, balls, "mix", where, most=40),
    )


def _mixes_of_balls_check(reading: Reading, content: PlanContent) -> None:
    names = {mix.name for mix in content.mixes}
    for at, stage in enumerate(content.planned):
        if stage.balls is not None and (not stage.balls.mix or stage.balls.mix not in names):
            reading.fault(
                ("stages", at, "balls", "mix"),
                "Say of which of the plan's mixes the balls are made.",
            )


def _feed(reading: Reading, raw: object, where: Where) -> Feed:
    feed = reading.read_object(raw, where, needs=("bait", "amount", "unit"), may=("name",))
    return Feed(*amount_of_bait_read(reading, feed, where))


def _substitutes(reading: Reading, raw: Sequence[object]) -> tuple[Substitute, ...]:
    found = []
    for at, one in enumerate(raw):
        where = ("substitutes", at)
        pair = reading.read_object(one, where, needs=("bait", "instead"))
        bait, instead = (bait_key_read(reading, pair, key, where) for key in ("bait", "instead"))
        if bait and bait == instead:
            reading.fault((*where, "instead"), "Take another bait than the one that is missing.")
        found.append(Substitute(bait, instead))
    reading.note_repeats(
        ((pair.bait, ("substitutes", at, "bait")) for at, pair in enumerate(found)),
        message="This bait has a substitute already: keep one.",
    )
    return tuple(found)
