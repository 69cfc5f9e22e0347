"""A league: rounds added up, the worst dropped, ties broken, everybody ranked."""

from .answer import LeagueAnswer, Season, league_work_out
from .example import LEAGUE_EXAMPLE, LEAGUE_EXAMPLE_ANSWER
from .request import (
    LeagueRequest,
    Round,
    RoundEntry,
    league_parse,
    league_rules_parse,
)
from .rules import LeagueRules
from .scores import Score

__all__ = [
    "LEAGUE_EXAMPLE",
    "LEAGUE_EXAMPLE_ANSWER",
    "LeagueAnswer",
    "LeagueRequest",
    "LeagueRules",
    "Round",
    "RoundEntry",
    "Score",
    "Season",
    "league_parse",
    "league_rules_parse",
    "league_work_out",
]
