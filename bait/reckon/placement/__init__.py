"""Where feed lands in moving water, and where it must go in to land where the rig settles."""

from .answer import FeedPlaced, PlacementAnswer, placement_work_out
from .example import PLACEMENT_EXAMPLE, PLACEMENT_EXAMPLE_ANSWER
from .measured import Timed, speed_timed
from .parse import placement_parse
from .request import Body, Feed, PlacementRequest, Swim
from .water import Water, water_at

__all__ = [
    "PLACEMENT_EXAMPLE",
    "PLACEMENT_EXAMPLE_ANSWER",
    "Body",
    "Feed",
    "FeedPlaced",
    "PlacementAnswer",
    "PlacementRequest",
    "Swim",
    "Timed",
    "Water",
    "placement_parse",
    "placement_work_out",
    "speed_timed",
    "water_at",
]
