"""What a river that rose does to its flow: an estimate, until somebody measures again.

Manning's formula for a wide channel: U ∝ h^(2/3), where slope and bed stay as they are and the
depth h stands for the hydraulic radius (V. T. Chow, Open-Channel Hydraulics, 1959; from memory).
"""

from __future__ import annotations

from dataclasses import replace

from .request import Swim


def swim_risen(swim: Swim, rise_m: float) -> Swim:
    """The swim after the water rose by so many metres, or fell where below zero.

    Fish at the bed stay there; fish above it stay as far below the surface, but not below the bed.
    What is uncertain about the speed grows with it. Needs water left: depth + rise above zero.
    """
    depth = swim.depth_m + rise_m
    quicker = (depth / swim.depth_m) ** (2 / 3)
    on_bed = swim.fish_depth_m == swim.depth_m
    return replace(
        swim,
        depth_m=depth,
        speed=swim.speed * quicker,
        speed_sd=swim.speed_sd * quicker,
        fish_depth_m=depth if on_bed else min(swim.fish_depth_m, depth),
    )
