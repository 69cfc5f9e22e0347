"""A plan as it is sent in, read with every fault in its place."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from typing import Any, TypeVar

from bait.models import StageKind
from bait.reckon.plans import MOST_FEEDS, MOST_STAGES, Feed, PlannedStage
from bait.reckon.units import UNITS
from matches.reckon.reading import Reading, Where, is_storable

AMOUNT_MOST = 100_000
T = TypeVar("T")


@dataclass(frozen=True, slots=True)
class StageContent:
    kind: str
    line: str
    note: str
    planned: PlannedStage


@dataclass(frozen=True, slots=True)
class PlanContent:
    """What a plan is to become. `version` is the one it was made from, 0 where there was none."""

    version: int
    spare_percent: int
    note: str
    stages: tuple[StageContent, ...]


def plan_content_parse(raw: object) -> PlanContent:
    """Read {"version", "spare_percent", "note", "stages": [{"kind", "line", "start_minute",
    "end_minute", "every_seconds", "note", "feeds": [{"bait", "amount", "unit"}]}]}.

    A feed may carry its bait's `name`, as it was given out; it is not looked at. Raises BadInput
    with every fault.
    """
    reading = Reading()
    plan = reading.read_object(raw, (), needs=("version", "stages"), may=("spare_percent", "note"))
    content = PlanContent(
        version=_whole(reading, plan, "version", (), least=0, most=10**9),
        spare_percent=_whole(reading, plan, "spare_percent", (), least=0, most=100, default=0),
        note=_words(reading, plan, "note", (), most=2000),
        stages=tuple(
            _stage(reading, stage, ("stages", at))
            for at, stage in enumerate(_list(reading, plan, "stages", (), most=MOST_STAGES))
        ),
    )
    reading.finish()
    return content


def _stage(reading: Reading, raw: object, where: Where) -> StageContent:
    stage = reading.read_object(
        raw,
        where,
        needs=("kind", "end_minute", "feeds"),
        may=("line", "start_minute", "every_seconds", "note"),
    )
    every = stage.get("every_seconds")
    return StageContent(
        kind=reading.read_word(stage["kind"], (*where, "kind"), words=StageKind.values)
        if "kind" in stage
        else "feed",
        line=_words(reading, stage, "line", where, most=40),
        note=_words(reading, stage, "note", where, most=200),
        planned=PlannedStage(
            start_minute=_whole(
                reading, stage, "start_minute", where, least=-60, most=1440, default=0
            ),
            end_minute=_whole(reading, stage, "end_minute", where, least=-60, most=1440),
            every_seconds=None
            if every is None
            else reading.read_whole(every, (*where, "every_seconds"), least=1, most=86_400),
            feeds=tuple(
                _feed(reading, feed, (*where, "feeds", n))
                for n, feed in enumerate(_list(reading, stage, "feeds", where, most=MOST_FEEDS))
            ),
        ),
    )


def _feed(reading: Reading, raw: object, where: Where) -> Feed:
    feed = reading.read_object(raw, where, needs=("bait", "amount", "unit"), may=("name",))
    amount = feed.get("amount")
    return Feed(
        bait=reading.read_id(feed["bait"], (*where, "bait")) if "bait" in feed else "",
        amount=reading.read_decimal(amount, (*where, "amount"), most=AMOUNT_MOST)
        if "amount" in feed
        else Fraction(1),
        unit=reading.read_word(feed["unit"], (*where, "unit"), words=UNITS)
        if "unit" in feed
        else "L",
    )


def _list(
    reading: Reading, raw: dict[str, Any], key: str, where: Where, *, most: int
) -> list[object]:
    if key not in raw:
        return []
    found = reading.read_list(raw[key], (*where, key))
    if len(found) > most:
        reading.fault((*where, key), f"Use at most {most}.")
    return found[:most]


def _whole(
    reading: Reading,
    raw: dict[str, Any],
    key: str,
    where: Where,
    *,
    least: int,
    most: int,
    default: int | None = None,
) -> int:
    if key not in raw:
        return least if default is None else default
    return reading.read_whole(raw[key], (*where, key), least=least, most=most)


def _words(reading: Reading, raw: dict[str, Any], key: str, where: Where, *, most: int) -> str:
    value = raw.get(key, "")
    if not isinstance(value, str) or not is_storable(value):
        reading.fault((*where, key), "Write words here.")
        return ""
    if len(value) > most:
        reading.fault((*where, key), f"Keep this to {most} characters.")
    return value.strip()
