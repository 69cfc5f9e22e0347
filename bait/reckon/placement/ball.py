"""A ball of groundbait from the hand to the bed: too heavy to move with the water at once.

(ρ_s + ½ρ)·V·dv/dt = (ρ_s − ρ)·V·g (downward) − ½·ρ·C_D(Re)·A·|v_rel|·v_rel, where ½ρ is the water
it must push along (the added mass of a sphere), v_rel its speed against the flow at that depth,
and C_D that of `fall.drag_times_re`. It starts at rest at the surface.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass
from typing import Final

from .fall import GRAVITY, drag_times_re, sphere_speed
from .flow import flow_at
from .request import Body, Swim
from .water import Water

#: Steps of the fourth-order Runge–Kutta method while the ball gathers speed once: with these the
#: answer is within one part in ten thousand of a solver that chooses its own.
_STEPS: Final = 32
#: Newton's method closes in on the depth within the last step.
_CLOSINGS: Final = 30
_NEAR_M: Final = 1e-13


@dataclass(frozen=True, slots=True)
class Moving:
    """Metres downstream and down, and the speed of each."""

    along: float
    down: float
    along_speed: float
    down_speed: float

    def after(self, seconds: float, rate: Moving) -> Moving:
        return Moving(
            self.along + seconds * rate.along,
            self.down + seconds * rate.down,
            self.along_speed + seconds * rate.along_speed,
            self.down_speed + seconds * rate.down_speed,
        )


Rate = Callable[[Moving], Moving]


def ball_fall(ball: Body, *, swim: Swim, water: Water) -> tuple[float, float]:
    """Seconds until its middle is at the fish's depth, and metres downstream by then."""
    rate = _rate(ball, swim=swim, water=water)
    step = _gathering_s(ball, water) / _STEPS
    seconds, now = 0.0, Moving(0.0, 0.0, 0.0, 0.0)
    while True:
        later = _stepped(now, step, rate)
        if later.down >= swim.fish_depth_m:
            break
        seconds, now = seconds + step, later
    part, there = step, later
    for _ in range(_CLOSINGS):
        beyond = there.down - swim.fish_depth_m
        if abs(beyond) <= _NEAR_M:
            break
        part -= beyond / there.down_speed
        there = _stepped(now, part, rate)
    return seconds + part, there.along


def _gathering_s(ball: Body, water: Water) -> float:
    """The time in which, without drag, it would reach the speed at which it ends up."""
    end = sphere_speed(diameter_m=ball.diameter_m, density=ball.density, water=water)
    pull = (ball.density - water.density) * GRAVITY / (ball.density + water.density / 2)
    return end / pull


def _rate(ball: Body, *, swim: Swim, water: Water) -> Rate:
    inertia = ball.density + water.density / 2
    pull = (ball.density - water.density) * GRAVITY / inertia
    re_of = ball.diameter_m * water.density / water.viscosity
    # ½·ρ·C_D·A·|v|/(V·inertia), with C_D·|v| = C_D·Re·μ/(D·ρ).
    slowing = 0.75 * water.viscosity / (ball.diameter_m**2 * inertia)

    def rate(now: Moving) -> Moving:
        flow = flow_at(
            swim.depth_m - now.down,
            depth_m=swim.depth_m,
            speed=swim.speed,
            exponent=swim.exponent,
            wind=swim.wind,
        )
        against = now.along_speed - flow
        drag = slowing * drag_times_re(re_of * math.hypot(against, now.down_speed))
        return Moving(
            now.along_speed, now.down_speed, -drag * against, pull - drag * now.down_speed
        )

    return rate


def _stepped(now: Moving, step: float, rate: Rate) -> Moving:
    """One step of the classical fourth-order Runge–Kutta method."""
    first = rate(now)
    second = rate(now.after(step / 2, first))
    third = rate(now.after(step / 2, second))
    fourth = rate(now.after(step, third))
    ends, middles = now.after(step / 6, first).after(step / 6, fourth), step / 3
    return ends.after(middles, second).after(middles, third)
