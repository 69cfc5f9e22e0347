"""What one match says afterwards: how the catch came, when it changed, and what was done then."""

from .changes import Block, Change, Fish, blocks_find, changes_between
from .day import ChangeSeen, DayReview, Done, LineDay, Quarter, StageDay, day_review
from .notes import DayNotes, Fed, FishNoted, StagePlanned, Switch, Watched

__all__ = [
    "Block",
    "Change",
    "ChangeSeen",
    "DayNotes",
    "DayReview",
    "Done",
    "Fed",
    "Fish",
    "FishNoted",
    "LineDay",
    "Quarter",
    "StageDay",
    "StagePlanned",
    "Switch",
    "Watched",
    "blocks_find",
    "changes_between",
    "day_review",
]
