"""Where feed lands in moving water, and where it must go in to land where the rig settles."""

from .answer import FeedPlaced, PlacementAnswer, Risen, placement_work_out
from .example import PLACEMENT_EXAMPLE, PLACEMENT_EXAMPLE_ANSWER
from .measured import Timed, speed_timed
from .parse import placement_parse
from .request import Angler, Body, Compare, Feed, PlacementRequest, Swim
from .rods import ThrowPoint, throw_point
from .water import Water, water_at

__all__ = [
    "PLACEMENT_EXAMPLE",
    "PLACEMENT_EXAMPLE_ANSWER",
    "Angler",
    "Body",
    "Compare",
    "Feed",
    "FeedPlaced",
    "PlacementAnswer",
    "PlacementRequest",
    "Risen",
    "Swim",
    "ThrowPoint",
    "Timed",
    "Water",
    "placement_parse",
    "placement_work_out",
    "speed_timed",
    "throw_point",
    "water_at",
]
