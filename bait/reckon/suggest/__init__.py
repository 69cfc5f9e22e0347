"""A plan to start from for a match to come, each number with its reason."""

from .answer import suggest
from .fit import within_limits
from .request import Ask, Known, Lines, Reason, Record, Suggestion
from .rules import USUAL_CELSIUS_TENTHS, USUAL_CM_S, warmth_of

__all__ = [
    "USUAL_CELSIUS_TENTHS",
    "USUAL_CM_S",
    "Ask",
    "Known",
    "Lines",
    "Reason",
    "Record",
    "Suggestion",
    "suggest",
    "warmth_of",
    "within_limits",
]
