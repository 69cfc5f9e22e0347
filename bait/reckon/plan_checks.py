"""What makes a plan's stages contradict each other, or the match they are for."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from fractions import Fraction

from matches.reckon.errors import Fault, pointer

from .plans import HOOK, PlannedStage

#: A stage may end so many minutes after the match: plans round up, and matches start late.
GRACE_MINUTES = 30
TOP_UP = "top_up"


def stages_faults(
    stages: Sequence[PlannedStage], *, length_minutes: int, names: Mapping[str, str]
) -> tuple[Fault, ...]:
    """Faults of stages that cannot all be fished: each with its JSON pointer.

    A stage that ends more than `GRACE_MINUTES` after the match; two stages that feed one bait the
    same way on one line at one time (a top-up comes on top of a feed, so those two may); balls or
    hook baits with a rhythm. `names` are the baits' by key.
    """
    return (
        *_endless(stages, length_minutes=length_minutes),
        *_rhythms(stages),
        *_overlaps(stages, names=names),
    )


def _endless(stages: Sequence[PlannedStage], *, length_minutes: int) -> list[Fault]:
    return [
        Fault(
            pointer("stages", at, "end_minute"),
            f"Stage {at + 1} would go on after the match, which ends at minute {length_minutes}: "
            "end it by then.",
        )
        for at, stage in enumerate(stages)
        if stage.end_minute > length_minutes + GRACE_MINUTES
    ]


def _rhythms(stages: Sequence[PlannedStage]) -> list[Fault]:
    faults = []
    for at, stage in enumerate(stages):
        where = pointer("stages", at, "every_seconds")
        if stage.balls is not None and stage.kind == HOOK:
            faults.append(
                Fault(pointer("stages", at, "balls"), "Hook baits make no balls: take them out.")
            )
        if stage.every_seconds is None:
            continue
        if stage.kind == HOOK:
            faults.append(Fault(where, "Hook baits have no rhythm: leave it empty."))
        elif stage.balls is not None:
            faults.append(
                Fault(where, "The number of balls says it all here: leave the rhythm empty.")
            )
    return faults


def _overlaps(stages: Sequence[PlannedStage], *, names: Mapping[str, str]) -> list[Fault]:
    faults = []
    for at, stage in enumerate(stages):
        for before, other in enumerate(stages[:at]):
            twice = [feed.bait for feed in stage.feeds if _feeds(other, feed.bait)]
            if twice and _clash(stage, other):
                faults.append(
                    Fault(
                        pointer("stages", at, "start_minute"),
                        _overlap_words(twice[0], before=before, other=other, names=names),
                    )
                )
                break
    return faults


def _overlap_words(bait: str, *, before: int, other: PlannedStage, names: Mapping[str, str]) -> str:
    minutes = f"minutes {other.start_minute} to {other.end_minute}"
    return (
        f"Stage {before + 1} has {names.get(bait, bait)} on this line at the same time "
        f"({minutes}): start after it, change the line, or put both into one stage."
    )


def _feeds(stage: PlannedStage, bait: str) -> bool:
    return any(feed.bait == bait for feed in stage.feeds)


def _clash(stage: PlannedStage, other: PlannedStage) -> bool:
    if stage.use != other.use or stage.line.casefold() != other.line.casefold():
        return False
    if (stage.kind == TOP_UP) != (other.kind == TOP_UP):
        return False
    return stage.start_minute < _end(other) and other.start_minute < _end(stage)


def _end(stage: PlannedStage) -> Fraction:
    """Its end itself is not part of it; a stage of no length is still a moment."""
    return max(Fraction(stage.end_minute), stage.start_minute + Fraction(1, 2))
