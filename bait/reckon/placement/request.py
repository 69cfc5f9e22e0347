"""What is asked of the placement calculator. SI units."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

#: How the flow grows from the bed to the surface: the one-sixth or one-seventh power of the height
#: is the usual river (discharge-measurement practice; from memory).
PROFILE_EXPONENT: Final = 6.0


@dataclass(frozen=True, slots=True)
class Body:
    """What sinks by its own size and weight: a `sphere`, a rough `grain`, or a `ball` that is so
    large that it must first gather speed.
    """

    shape: str
    diameter_m: float
    density: float


@dataclass(frozen=True, slots=True)
class Feed:
    """One feed. `sinks` is a body, or the sink speed measured in a jar, in m/s.

    `sink_sd` and `throw_sd` say how far single ones stray: their sink speed, and where they go in.
    """

    name: str
    sinks: Body | float
    sink_sd: float = 0.0
    throw_sd: float = 0.0


@dataclass(frozen=True, slots=True)
class Swim:
    """The water: its depth, its speed at the surface, the profile's exponent, its warmth.

    `…_sd` is how well the first two are known. `fish_depth_m` is measured down from the surface.
    `wind` is the wind's speed along the river in m/s, below zero upstream.
    """

    depth_m: float
    speed: float
    exponent: float
    celsius: float
    fish_depth_m: float
    depth_sd: float = 0.0
    speed_sd: float = 0.0
    wind: float = 0.0


@dataclass(frozen=True, slots=True)
class Angler:
    """Who throws, straight across from where the rig goes in: metres from there to the rig's line,
    the rod's length in metres, and the hand to which the river runs, `left` or `right`.
    """

    line_m: float
    rod_m: float
    flows_to: str


@dataclass(frozen=True, slots=True)
class Compare:
    """Loose feed against balls, two of the feeds by name, at each of these speeds and depths."""

    loose: str
    balls: str
    speeds: tuple[float, ...]
    depths: tuple[float, ...]


@dataclass(frozen=True, slots=True)
class PlacementRequest:
    """A swim, where the rig settles downstream of where it goes in, and the feeds.

    `particles` of each feed are scattered by chance from `seed`; with 0 nothing is. What is None
    was not asked for: the throw as the `angler` sees it, up to what speed a feed reaches the fish
    within `swim_m` metres, what a river risen by `rise_m` changes, loose feed against balls, and
    what would `tighten` the feed of that name.
    """

    swim: Swim
    rig_settles_m: float
    feeds: tuple[Feed, ...]
    particles: int = 0
    seed: int = 0
    angler: Angler | None = None
    swim_m: float | None = None
    rise_m: float | None = None
    compare: Compare | None = None
    tighten: str | None = None
