"""What was really fed, as stages of a plan to start the next from."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction

from .plans import Feed, PlannedStage, throws_count

#: As many throws make a rhythm; fewer are told as one amount over their minutes.
LEAST_THROWS = 3


@dataclass(frozen=True, slots=True)
class FedNote:
    """One feed as it was logged: `seconds` from the start of the match, `stage` counts the plan's
    from 0, None outside it."""

    seconds: int
    bait: str
    amount: Fraction
    unit: str
    line: str = ""
    stage: int | None = None


def stages_fed(notes: Sequence[FedNote]) -> tuple[PlannedStage, ...]:
    """Stages whose amounts add up to what the notes say, by line, bait and stage.

    What went in before the start is an opening. Where throws were of one size, they become a
    rhythm that throws as often; otherwise the whole amount goes in from the first minute to the
    last. Amounts of one bait in several units stay apart. Ordered by their start.
    """
    groups: dict[tuple[object, ...], list[FedNote]] = {}
    for note in sorted(notes, key=lambda note: note.seconds):
        before = note.seconds < 0
        key = (before, note.line, note.bait, note.unit, note.stage)
        groups.setdefault(key, []).append(note)
    stages = [_stage(group) for group in groups.values()]
    return _apart(sorted(stages, key=lambda s: (s.start_minute, s.line, s.feeds[0].bait)))


def _stage(notes: Sequence[FedNote]) -> PlannedStage:
    first, last = notes[0].seconds, notes[-1].seconds
    start, end = max(-60, first // 60), last // 60 + 1
    opening = first < 0
    total = sum((note.amount for note in notes), Fraction(0))
    bait, unit = notes[0].bait, notes[0].unit
    whole = PlannedStage(
        start_minute=start,
        end_minute=min(end, 0) if opening else end,
        every_seconds=None,
        feeds=(Feed(bait, total, unit),),
        kind="opening" if opening else "feed",
        line=notes[0].line,
    )
    if opening or len(notes) < LEAST_THROWS or len({note.amount for note in notes}) > 1:
        return whole
    rhythm = _rhythm(notes, start=start)
    return whole if rhythm is None else rhythm


def _rhythm(notes: Sequence[FedNote], *, start: int) -> PlannedStage | None:
    """A stage that throws just as often as was noted; None where no whole seconds do."""
    count = len(notes)
    every = max(1, round((notes[-1].seconds - notes[0].seconds) / (count - 1)))
    span = max(60, -(-count * every // 60) * 60)
    stage = PlannedStage(
        start_minute=start,
        end_minute=start + span // 60,
        every_seconds=-(-span // count),
        feeds=(Feed(notes[0].bait, notes[0].amount, notes[0].unit),),
        line=notes[0].line,
    )
    return stage if throws_count(stage) == count else None


def _apart(stages: Sequence[PlannedStage]) -> tuple[PlannedStage, ...]:
    """The stages, each ending where the next of its bait and line begins.

    A rhythm that would lose throws by it becomes one amount.
    """
    out: list[PlannedStage] = []
    for stage in stages:
        for n, other in enumerate(out):
            same = other.line == stage.line and other.feeds[0].bait == stage.feeds[0].bait
            if same and other.end_minute > stage.start_minute:
                out[n] = _ended(other, end=max(other.start_minute, stage.start_minute))
        out.append(stage)
    return tuple(out)


def _ended(stage: PlannedStage, *, end: int) -> PlannedStage:
    feed = stage.feeds[0]
    return PlannedStage(
        start_minute=stage.start_minute,
        end_minute=end,
        every_seconds=None,
        feeds=(Feed(feed.bait, feed.amount * throws_count(stage), feed.unit),),
        kind=stage.kind,
        line=stage.line,
    )
