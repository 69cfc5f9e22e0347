"""What one angler noted in one match, as a review is made of it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

#: A stretch without a note that is longer than this, and than a quarter of the match, was not
#: logged rather than fished without a bite (common practice, no source).
SILENT_S: Final = 3600
SILENT_SHARE: Final = 4
#: Fish noted within so many seconds of each other were noted in one go, not as they came.
IN_ONE_GO_S: Final = 60
IN_ONE_GO_LEAST: Final = 5


@dataclass(frozen=True, slots=True)
class FishNoted:
    """`count` fish at `second` from the start; `about` is what they weigh together, at a guess."""

    second: int
    count: int
    line: str = ""
    species: str = ""
    about: int | None = None


@dataclass(frozen=True, slots=True)
class Fed:
    """One feed at `second` from the start, below zero before it."""

    second: int
    bait: str
    line: str = ""


@dataclass(frozen=True, slots=True)
class Switch:
    """From `second` on this line is fished."""

    second: int
    line: str


@dataclass(frozen=True, slots=True)
class StagePlanned:
    """One stage of the plan: its place in it, its line, and its seconds from the start."""

    place: int
    line: str
    start: int
    end: int


@dataclass(frozen=True, slots=True)
class DayNotes:
    """A day at the peg. Weights are in the match's unit; `end` is the match's length in seconds.

    `first_line` is fished until something says otherwise. `weighed` is what the scales said, None
    where nothing was weighed. Notes of any order; each already in force.
    """

    end: int
    fish: tuple[FishNoted, ...] = ()
    feeds: tuple[Fed, ...] = ()
    switches: tuple[Switch, ...] = ()
    stages: tuple[StagePlanned, ...] = ()
    first_line: str = ""
    weighed: int | None = None


@dataclass(frozen=True, slots=True)
class Watched:
    """From when to when the day was logged, in seconds; what lies outside is not known."""

    start: int
    end: int
    whole: bool


def silence_most(seconds: int) -> int:
    """How long, in seconds, nothing is noted in a match of `seconds` that counts as logged."""
    return max(SILENT_S, seconds // SILENT_SHARE)


def watched_of(notes: DayNotes) -> Watched:
    """The whole match, or the part of it that was logged: long silence at an end is left out."""
    seconds = [one.second for one in notes.fish]
    seconds += [one.second for one in notes.feeds]
    seconds += [one.second for one in notes.switches]
    moments = sorted(second for second in seconds if 0 <= second <= notes.end)
    if not moments:
        return Watched(0, notes.end, whole=True)
    silent = silence_most(notes.end)
    start = moments[0] if moments[0] > silent else 0
    end = moments[-1] if notes.end - moments[-1] > silent else notes.end
    if start >= end:
        return Watched(0, notes.end, whole=False)
    return Watched(start, end, whole=(start, end) == (0, notes.end))


def in_one_go(fish: Sequence[FishNoted]) -> bool:
    """Whether half the fish or more were noted within one minute: when they came is not known."""
    total = sum(one.count for one in fish)
    if total < IN_ONE_GO_LEAST:
        return False
    ordered = sorted(fish, key=lambda one: one.second)
    first, inside = 0, 0
    for one in ordered:
        inside += one.count
        while one.second - ordered[first].second >= IN_ONE_GO_S:
            inside -= ordered[first].count
            first += 1
        if 2 * inside >= total:
            return True
    return False


def lines_fished(notes: DayNotes, watched: Watched) -> tuple[tuple[str, int, int], ...]:
    """Which line from when to when, without gaps over what was watched.

    A switch says so; so does a fish, caught on the line that it says. Of two switches in one second
    the one given later stands.
    """
    moves = [(one.second, 0, one.line) for one in notes.switches]
    moves += [(one.second, 1, one.line) for one in notes.fish]
    line, since, out = notes.first_line, watched.start, []
    for second, _kind, to in sorted(moves, key=lambda move: move[:2]):
        if to == line or second > watched.end:
            continue
        if second > since:
            out.append((line, since, second))
            since = second
        line = to
    if since < watched.end:
        out.append((line, since, watched.end))
    return tuple(out)
