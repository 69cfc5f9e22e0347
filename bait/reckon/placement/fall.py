"""How fast a thing sinks in still water once it falls evenly, in m/s.

Symbols: D diameter, ρ density of the water, ρ_s of the thing, μ viscosity, g gravity,
Re = v·D·ρ/μ.
"""

from __future__ import annotations

import math
from typing import Final

from .water import Water

GRAVITY: Final = 9.80665
_TURBULENT_RE: Final = 1000.0
_TURBULENT_DRAG: Final = 0.44
#: Ferguson and Church's constants for grains as nature makes them.
_C1: Final = 18.0
_C2: Final = 1.0
_HALVINGS: Final = 100


def sphere_speed(*, diameter_m: float, density: float, water: Water) -> float:
    """The sphere's weight in water equals its drag: C_D·Re² = 4/3·g·ρ·(ρ_s − ρ)·D³/μ².

    The left side only grows with Re, so that halving finds the one speed to the last bits. Needs
    a sphere heavier than the water.
    """
    weight = (
        4 / 3 * GRAVITY * water.density * (density - water.density) * diameter_m**3
    ) / water.viscosity**2
    low, high = 0.0, max(_TURBULENT_RE, math.sqrt(weight / _TURBULENT_DRAG))
    for _ in range(_HALVINGS):
        middle = (low + high) / 2
        if drag_times_re(middle) * middle < weight:
            low = middle
        else:
            high = middle
    return high * water.viscosity / (water.density * diameter_m)


def drag_times_re(re: float) -> float:
    """C_D·Re of a sphere: Schiller and Naumann (1933) to Re 1000, Newton's 0.44 above."""
    if re < _TURBULENT_RE:
        return 24 * (1 + 0.15 * math.pow(re, 0.687))
    return _TURBULENT_DRAG * re


def grain_speed(*, diameter_m: float, density: float, water: Water) -> float:
    """R. I. Ferguson and M. Church, J. Sedimentary Research 74 (2004) 933, equation 4:
    w = R·g·D² / (C1·ν + √(0.75·C2·R·g·D³)), R the excess density over that of water.
    """
    pull = (density / water.density - 1) * GRAVITY
    thickness = water.viscosity / water.density
    slowed = _C1 * thickness + math.sqrt(0.75 * _C2 * pull * diameter_m**3)
    return pull * diameter_m**2 / slowed
