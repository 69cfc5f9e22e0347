"""Which of an angler's lines catches best, said with its doubt."""

from .answer import LinesAnswer, LineShown, lines_work_out
from .example import LINES_EXAMPLE, LINES_EXAMPLE_ANSWER
from .parse import lines_parse
from .request import LineCatch, LinesRequest
from .shares import Rate, best_shares

__all__ = [
    "LINES_EXAMPLE",
    "LINES_EXAMPLE_ANSWER",
    "LineCatch",
    "LineShown",
    "LinesAnswer",
    "LinesRequest",
    "Rate",
    "best_shares",
    "lines_parse",
    "lines_work_out",
]
