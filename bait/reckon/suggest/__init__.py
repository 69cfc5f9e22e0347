"""A plan to start from for a match to come, each number with its reason."""

from .answer import suggest
from .fit import within_limits
from .records import records_for_member
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
    "records_for_member",
    "suggest",
    "warmth_of",
    "within_limits",
]
