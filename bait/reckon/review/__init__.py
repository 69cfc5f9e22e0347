"""What one match says afterwards: how the catch came, when it changed, and what was done then."""

from .changes import Block, Change, Fish, blocks_find, changes_between
from .day import ChangeSeen, DayReview, Done, LineDay, Quarter, StageDay, day_review
from .guess import GuessChecked, guess_checked
from .next import Earlier, better_line, stage_earlier
from .notes import DayNotes, Fed, FishNoted, StagePlanned, Switch, Watched, lines_fished

__all__ = [
    "Block",
    "Change",
    "ChangeSeen",
    "DayNotes",
    "DayReview",
    "Done",
    "Earlier",
    "Fed",
    "Fish",
    "FishNoted",
    "GuessChecked",
    "LineDay",
    "Quarter",
    "StageDay",
    "StagePlanned",
    "Switch",
    "Watched",
    "better_line",
    "blocks_find",
    "changes_between",
    "day_review",
    "guess_checked",
    "lines_fished",
    "stage_earlier",
]
