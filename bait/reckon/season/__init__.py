"""How what a team fed went with what it weighed, over its matches, said with its doubt."""

from .answer import Effect, SeasonAnswer, season_work_out
from .columns import LEAST_DAYS, LEAST_FED_DAYS, LEAST_MATCHES
from .day import BALLS, LEAST_BESIDE, LOOSE, AnglerDay, Column, DayFed, FeedGiven, LeftOut, day_fed

__all__ = [
    "BALLS",
    "LEAST_BESIDE",
    "LEAST_DAYS",
    "LEAST_FED_DAYS",
    "LEAST_MATCHES",
    "LOOSE",
    "AnglerDay",
    "Column",
    "DayFed",
    "Effect",
    "FeedGiven",
    "LeftOut",
    "SeasonAnswer",
    "day_fed",
    "season_work_out",
]
