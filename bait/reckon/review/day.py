"""The review of one match: how the catch came, on which line, in which stage, and when it changed.

Rates are of what was watched only, each with its 90 % interval.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from fractions import Fraction
from itertools import accumulate
from typing import Final

from bait.reckon.lines import LineCatch, LinesRequest, Rate, lines_work_out

from .changes import JEFFREYS, Block, Change, Fish, blocks_find, changes_between
from .notes import DayNotes, FishNoted, Watched, in_one_go, lines_fished, watched_of

QUARTER_S: Final = 900
#: What is believed of a line before it is fished: one fish in ten minutes (common practice, no
#: source). It weighs as much as ten minutes on the line.
PRIOR_FISH: Final = Fraction(1)
PRIOR_MINUTES: Final = Fraction(10)
#: What was done up to so long before a change may have to do with it (common practice, no source).
BEFORE_S: Final = 1200
#: A bait that was not fed on its line for so long and is fed again is something new.
PAUSE_S: Final = 1800
#: Notes that come to less than half or more than twice what the scales said are not scaled to it.
FAR_OFF: Final = 2


@dataclass(frozen=True, slots=True)
class Quarter:
    """A quarter of an hour, or what is left of one: its fish and their weight at a guess."""

    start: int
    end: int
    fish: int
    about: int


@dataclass(frozen=True, slots=True)
class LineDay:
    """One line: how long it was fished, its fish, their rate an hour, how likely it was the best.

    `best` is None with one line only. `about` is the guessed weight, `per_hour_about` that an hour.
    """

    name: str
    seconds: int
    fish: int
    about: int
    per_hour: float
    per_hour_90: tuple[float, float]
    per_hour_about: float | None
    best: float | None


@dataclass(frozen=True, slots=True)
class StageDay:
    """One stage of the plan, while its own line was fished."""

    place: int
    line: str
    seconds: int
    fish: int
    per_hour: float
    per_hour_90: tuple[float, float]


@dataclass(frozen=True, slots=True)
class Done:
    """What was done shortly before a change: `kind` "line" to the line `name`, or "feed" of it."""

    second: int
    kind: str
    name: str
    line: str = ""


@dataclass(frozen=True, slots=True)
class ChangeSeen:
    """A change, and what was done before it, the nearest first."""

    change: Change
    before: Block
    after: Block
    done: tuple[Done, ...]


@dataclass(frozen=True, slots=True)
class DayReview:
    """See the parts. `outside` fish lie outside the match's time and are in no rate.

    `factor` takes a guess to what the scales said: 1 where nothing was weighed or noted, None
    where the two are so far apart that they say different things. `running` holds the seconds at
    which the guess grew and what it came to.
    """

    watched: Watched
    fish: int
    outside: int
    about: int
    factor: Fraction | None
    one_go: bool
    running: tuple[tuple[int, int], ...]
    quarters: tuple[Quarter, ...]
    lines: tuple[LineDay, ...]
    stages: tuple[StageDay, ...]
    blocks: tuple[Block, ...]
    changes: tuple[ChangeSeen, ...]


def day_review(notes: DayNotes) -> DayReview:
    """Everything the notes of one day say. Raises ValueError for a match of no length."""
    if notes.end <= 0:
        raise ValueError("A match lasts longer than nothing.")
    watched = watched_of(notes)
    inside = [one for one in notes.fish if watched.start <= one.second <= watched.end]
    guessed = _guesses(inside)
    total = sum(guessed)
    one_go = in_one_go(inside)
    blocks = () if one_go else _blocks(inside, watched)
    fished = lines_fished(notes, watched)
    return DayReview(
        watched=watched,
        fish=sum(one.count for one in inside),
        outside=sum(one.count for one in notes.fish) - sum(one.count for one in inside),
        about=total,
        factor=_factor(total, notes.weighed),
        one_go=one_go,
        running=_running(inside, guessed),
        quarters=tuple(_quarters(inside, guessed, watched)),
        lines=_lines(fished, inside, guessed),
        stages=tuple(_stages(notes, fished, inside)),
        blocks=blocks,
        changes=_changes(notes, blocks, inside),
    )


def _guesses(fish: Sequence[FishNoted]) -> list[int]:
    """Of each note what its fish weigh; one without a guess weighs as the others do, each fish."""
    known = [(one.count, one.about) for one in fish if one.about is not None]
    count = sum(many for many, _about in known)
    mean = Fraction(sum(about for _many, about in known), count) if count else Fraction(0)
    return [one.about if one.about is not None else round(mean * one.count) for one in fish]


def _factor(about: int, weighed: int | None) -> Fraction | None:
    if not about or not weighed:
        return Fraction(1)
    factor = Fraction(weighed, about)
    return factor if Fraction(1, FAR_OFF) <= factor <= FAR_OFF else None


def _running(fish: Sequence[FishNoted], guessed: Sequence[int]) -> tuple[tuple[int, int], ...]:
    ordered = sorted(zip(fish, guessed, strict=True), key=lambda pair: pair[0].second)
    sums = accumulate(about for _fish, about in ordered)
    return tuple((one.second, so_far) for (one, _about), so_far in zip(ordered, sums, strict=True))


def _quarters(
    fish: Sequence[FishNoted], guessed: Sequence[int], watched: Watched
) -> Iterable[Quarter]:
    for start in range(watched.start // QUARTER_S * QUARTER_S, watched.end, QUARTER_S):
        first, end = max(start, watched.start), min(start + QUARTER_S, watched.end)
        # What is noted at the very end belongs to the last quarter.
        until = end + 1 if end == watched.end else end
        held = [n for n, one in enumerate(fish) if first <= one.second < until]
        yield Quarter(
            start=first,
            end=end,
            fish=sum(fish[n].count for n in held),
            about=sum(guessed[n] for n in held),
        )


def _lines(
    fished: Sequence[tuple[str, int, int]], fish: Sequence[FishNoted], guessed: Sequence[int]
) -> tuple[LineDay, ...]:
    """Each line fished, in the order first fished."""
    seconds: dict[str, int] = defaultdict(int)
    for line, start, end in fished:
        seconds[line] += end - start
    caught, about = dict.fromkeys(seconds, 0), dict.fromkeys(seconds, 0)
    for one, grams in zip(fish, guessed, strict=True):
        # Its last fish may have been noted in the very second the line was left.
        line = one.line if one.line in seconds else fished[-1][0]
        caught[line] += one.count
        about[line] += grams
    asked = LinesRequest(
        lines=tuple(
            LineCatch(line, Fraction(seconds[line], 60), caught[line], about[line])
            for line in seconds
        ),
        prior_fish=PRIOR_FISH,
        prior_minutes=PRIOR_MINUTES,
    )
    shown = lines_work_out(asked).lines if seconds else ()
    return tuple(
        LineDay(
            name=line,
            seconds=seconds[line],
            fish=caught[line],
            about=about[line],
            per_hour=found.fish_per_hour,
            per_hour_90=found.fish_per_hour_90,
            per_hour_about=found.grams_per_hour,
            best=found.best if len(seconds) > 1 else None,
        )
        for line, found in zip(seconds, shown, strict=True)
    )


def _stages(
    notes: DayNotes, fished: Sequence[tuple[str, int, int]], fish: Sequence[FishNoted]
) -> Iterable[StageDay]:
    for stage in notes.stages:
        spans = [
            (max(start, stage.start), min(end, stage.end))
            for line, start, end in fished
            if line == stage.line
        ]
        seconds = sum(end - start for start, end in spans if end > start)
        if not seconds:
            continue
        many = sum(
            one.count
            for one in fish
            if one.line == stage.line and any(start <= one.second < end for start, end in spans)
        )
        rate = Rate(many + JEFFREYS, 3600 / seconds)
        yield StageDay(
            place=stage.place,
            line=stage.line,
            seconds=seconds,
            fish=many,
            per_hour=many * 3600 / seconds,
            per_hour_90=(rate.quantile(0.05), rate.quantile(0.95)),
        )


def _blocks(fish: Sequence[FishNoted], watched: Watched) -> tuple[Block, ...]:
    return blocks_find(_moments(fish), start=watched.start, end=watched.end)


def _moments(fish: Sequence[FishNoted]) -> list[Fish]:
    return [Fish(one.second, one.count) for one in fish]


def _changes(
    notes: DayNotes, blocks: Sequence[Block], fish: Sequence[FishNoted]
) -> tuple[ChangeSeen, ...]:
    done = sorted([*_switches(notes), *_feeds(notes)], key=lambda one: one.second)
    return tuple(
        ChangeSeen(change, before, after, tuple(_before(change, done)))
        for change, before, after in zip(
            changes_between(blocks, _moments(fish)), blocks, blocks[1:], strict=False
        )
    )


def _before(change: Change, done: Sequence[Done]) -> list[Done]:
    """The last of each kind that could have to do with it, the nearest first."""
    near = {
        one.kind: one
        for one in done
        if change.second_90[0] - BEFORE_S <= one.second <= change.second_90[1]
    }
    return sorted(near.values(), key=lambda one: abs(change.second - one.second))


def _switches(notes: DayNotes) -> Iterable[Done]:
    spans = lines_fished(notes, Watched(0, notes.end, whole=True))
    return (Done(start, "line", line) for line, start, _end in spans[1:])


def _feeds(notes: DayNotes) -> Iterable[Done]:
    """Each bait's first feed on a line, and its first after a pause."""
    last: dict[tuple[str, str], int] = {}
    for fed in sorted(notes.feeds, key=lambda one: one.second):
        key = (fed.bait, fed.line)
        if key not in last or fed.second - last[key] > PAUSE_S:
            yield Done(fed.second, "feed", fed.bait, fed.line)
        last[key] = fed.second
