"""How far the river carries what sinks in it, while it moves with the water.

u(z) = U·(z/h)^(1/n): z up from the bed, h the depth, U the speed at the surface. What falls at w
through the uppermost f metres is carried (1/w)·∫u dz = U·h·n/(n+1)·(1 − (1 − f/h)^((n+1)/n))/w.
"""

from __future__ import annotations

import math
from typing import TypeVar

import numpy as np
from numpy.typing import NDArray

Numbers = TypeVar("Numbers", float, NDArray[np.float64])


def flow_at(height_m: float, *, depth_m: float, speed: float, exponent: float) -> float:
    """The water's speed so far above the bed; nothing moves at the bed or below."""
    return speed * math.pow(max(0.0, height_m) / depth_m, 1 / exponent)


def drift(
    *, sink_speed: Numbers, depth_m: Numbers, speed: Numbers, fall_m: Numbers, exponent: float
) -> Numbers:
    """Metres downstream while it falls `fall_m` from the surface; one of them, or many at once."""
    power = (exponent + 1) / exponent
    below = (1 - fall_m / depth_m) ** power
    carried: Numbers = speed * depth_m / power * (1 - below) / sink_speed
    return carried
