"""How far the river carries what sinks in it, while it moves with the water.

u(d) = U·((h − d)/h)^(1/n) + k·W·e^(−d/L): d down from the surface, h the depth, U the speed at
the surface without wind, n the profile's exponent, W the wind along the river, downstream above
zero, k·W what it drags the surface along with, L how deep that goes. What falls at w through the
uppermost f metres is carried

(1/w)·∫u dd = (U·h·n/(n+1)·(1 − (1 − f/h)^((n+1)/n)) + k·W·L·(1 − e^(−f/L)))/w.

k: a surface drifts at about three hundredths of the wind (J. Wu, J. Fluid Mech. 68 (1975) 49; from
memory). L: common practice, no source. Without water that runs back below, as in a lake.
"""

from __future__ import annotations

import math
from typing import Final, TypeVar

import numpy as np
from numpy.typing import NDArray

#: k: the part of the wind's speed at which it drags the surface along.
WIND_PART: Final = 0.03
#: L: the wind's drag is down to e⁻¹ after so many metres, or after a third of shallow water.
_LAYER_M: Final = 0.3
_LAYER_PART: Final = 1 / 3

Numbers = TypeVar("Numbers", float, NDArray[np.float64])


def flow_at(
    height_m: float, *, depth_m: float, speed: float, exponent: float, wind: float = 0.0
) -> float:
    """The water's speed so far above the bed, in m/s; nothing of the river's own moves at the bed
    or below."""
    own = speed * math.pow(max(0.0, height_m) / depth_m, 1 / exponent)
    if not wind:
        return own
    layer = min(_LAYER_M, depth_m * _LAYER_PART)
    return own + WIND_PART * wind * math.exp((height_m - depth_m) / layer)


def drift(
    *,
    sink_speed: Numbers,
    depth_m: Numbers,
    speed: Numbers,
    fall_m: Numbers,
    exponent: float,
    wind: float = 0.0,
) -> Numbers:
    """Metres downstream while it falls `fall_m` from the surface; one of them, or many at once."""
    power = (exponent + 1) / exponent
    below = (1 - fall_m / depth_m) ** power
    way: Numbers = speed * depth_m / power * (1 - below)
    if wind:
        way = way + wind_way(depth_m=depth_m, fall_m=fall_m, wind=wind)
    carried: Numbers = way / sink_speed
    return carried


def wind_way(*, depth_m: Numbers, fall_m: Numbers, wind: float) -> Numbers:
    """What the wind adds to ∫u dd, in m²/s: k·W·L·(1 − e^(−f/L))."""
    layer = np.minimum(_LAYER_M, depth_m * _LAYER_PART)
    way: Numbers = WIND_PART * wind * layer * (1 - np.exp(-fall_m / layer))
    return way
