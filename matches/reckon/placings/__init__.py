"""Places in sections, team totals, and individuals over all sections."""

from .answer import (
    IndividualResult,
    Placing,
    PlacingsAnswer,
    TeamResult,
    placings_work_out,
)
from .example import PLACINGS_EXAMPLE, PLACINGS_EXAMPLE_ANSWER
from .ranks import Parting
from .request import Entry, PlacingsRequest, Section, Status, placings_parse, placings_rules_parse
from .scheme import INTERNATIONAL, Scheme

__all__ = [
    "INTERNATIONAL",
    "PLACINGS_EXAMPLE",
    "PLACINGS_EXAMPLE_ANSWER",
    "Entry",
    "IndividualResult",
    "Parting",
    "Placing",
    "PlacingsAnswer",
    "PlacingsRequest",
    "Scheme",
    "Section",
    "Status",
    "TeamResult",
    "placings_parse",
    "placings_rules_parse",
    "placings_work_out",
]
