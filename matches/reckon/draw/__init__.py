"""A draw of pegs that anyone can check: see `work` for the recipe."""

from .example import DRAW_EXAMPLE, DRAW_EXAMPLE_ANSWER
from .request import MODES, DrawAngler, DrawRequest, DrawSection, Mode, draw_parse
from .stream import draw_commitment, draw_stream, number_below, shuffled
from .work import Assignment, DrawAnswer, draw_work_out

__all__ = [
    "DRAW_EXAMPLE",
    "DRAW_EXAMPLE_ANSWER",
    "MODES",
    "Assignment",
    "DrawAngler",
    "DrawAnswer",
    "DrawRequest",
    "DrawSection",
    "Mode",
    "draw_commitment",
    "draw_parse",
    "draw_stream",
    "draw_work_out",
    "number_below",
    "shuffled",
]
