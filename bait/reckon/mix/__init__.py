"""Groundbait, water and balls: how much it makes, and what a ball takes and still holds."""

from .answer import MixAnswer, MixOutcome, SqueezeOutcome, mix_reckon, mix_work_out, squeeze_reckon
from .balls import RANDOM_CLOSE_PACKING, ball_litres, load_fraction_most
from .example import MIX_EXAMPLE, MIX_EXAMPLE_ANSWER
from .parse import mix_parse
from .request import MIX_DEFAULTS, MixAsked, MixRequest, Particles, SqueezeTest

__all__ = [
    "MIX_DEFAULTS",
    "MIX_EXAMPLE",
    "MIX_EXAMPLE_ANSWER",
    "RANDOM_CLOSE_PACKING",
    "MixAnswer",
    "MixAsked",
    "MixOutcome",
    "MixRequest",
    "Particles",
    "SqueezeOutcome",
    "SqueezeTest",
    "ball_litres",
    "load_fraction_most",
    "mix_parse",
    "mix_reckon",
    "mix_work_out",
    "squeeze_reckon",
]
