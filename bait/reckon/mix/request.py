"""What is asked of the mix calculator. Litres and metres, exact."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from fractions import Fraction
from typing import Final

#: How a mix behaves until somebody measures theirs (from memory, no source).
MIX_DEFAULTS: Final[Mapping[str, Fraction]] = {
    "water_per_dry": Fraction("0.45"),
    "swell": Fraction(1),
    "squeeze": Fraction("0.7"),
    "packing": Fraction("0.6"),
    "film_m": Fraction("0.0004"),
}


@dataclass(frozen=True, slots=True)
class Particles:
    """Loose litres of one thing loaded into all the balls, and the size of one of it in metres."""

    litres: Fraction
    size_m: Fraction


@dataclass(frozen=True, slots=True)
class MixRequest:
    """A mix, the balls asked of it and what all of them together are loaded with.

    `swell`: litres loose and ready from a litre dry. `squeeze`: litres of ball from a litre loose.
    `packing`: solid part of loose particles. `film_m`: coat of mix round each particle. Limits are
    those of the match, None where it has none.
    """

    dry_l: Fraction
    ball_m: Fraction
    balls: int
    soil_l: Fraction = Fraction(0)
    load: tuple[Particles, ...] = ()
    water_per_dry: Fraction = MIX_DEFAULTS["water_per_dry"]
    swell: Fraction = MIX_DEFAULTS["swell"]
    squeeze: Fraction = MIX_DEFAULTS["squeeze"]
    packing: Fraction = MIX_DEFAULTS["packing"]
    film_m: Fraction = MIX_DEFAULTS["film_m"]
    groundbait_limit_l: Fraction | None = None
    bait_limit_l: Fraction | None = None

    @property
    def load_l(self) -> Fraction:
        """All that is loaded, in loose litres."""
        return sum((p.litres for p in self.load), Fraction(0))

    @property
    def size_m(self) -> Fraction | None:
        """The load's mean size by volume.

        Of amounts still at zero it is known where all have one size; None where nothing says.
        """
        if self.load_l:
            return sum((p.litres * p.size_m for p in self.load), Fraction(0)) / self.load_l
        sizes = {p.size_m for p in self.load}
        return sizes.pop() if len(sizes) == 1 else None


@dataclass(frozen=True, slots=True)
class SqueezeTest:
    """What somebody tried by hand with balls of `ball_m`.

    `load_l` is the most loose particles of `size_m` that one ball took and stayed whole; `loose_l`
    the loose mix that one ball without a load took. One of the two may be None.
    """

    ball_m: Fraction
    load_l: Fraction | None = None
    size_m: Fraction | None = None
    packing: Fraction = MIX_DEFAULTS["packing"]
    loose_l: Fraction | None = None


@dataclass(frozen=True, slots=True)
class MixAsked:
    """A request as it was sent: a mix, a squeeze test, or both.

    `left_out` names the properties that nobody gave. What the test measures stands in for those;
    the rest are `MIX_DEFAULTS`, and the answer says which.
    """

    mix: MixRequest | None
    test: SqueezeTest | None
    left_out: tuple[str, ...] = ()
