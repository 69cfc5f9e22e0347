"""What a ball of groundbait holds: spheres in a mix that must fill the gaps and coat each one.

Model: particles of volume V_s in a ball of volume V. Each carries a coat of mix, so that it takes
the room of a sphere of size + 2·film; those spheres cannot lie closer than random close packing.
"""

from __future__ import annotations

import math
from decimal import Context, Decimal
from fractions import Fraction
from typing import Final

#: The part of space that equal spheres fill when poured and shaken: 0.64 (0.6366 ± 0.0008 measured
#: by G. D. Scott and D. M. Kilgour, J. Phys. D 2 (1969) 863; from memory).
RANDOM_CLOSE_PACKING: Final = Fraction("0.64")
PI: Final = Fraction("3.14159265358979323846264338327950288419716939937510")
LITRES_PER_M3: Final = 1000


def ball_litres(ball_m: Fraction) -> Fraction:
    """Litres of a ball of that diameter in metres."""
    return PI / 6 * ball_m**3 * LITRES_PER_M3


def load_fraction_most(*, size_m: Fraction, film_m: Fraction) -> Fraction:
    """The greatest solid part of a ball that still holds, for particles of that size in metres."""
    return RANDOM_CLOSE_PACKING / (1 + 2 * film_m / size_m) ** 3


def film_found(load_fraction: Fraction, *, size_m: Fraction) -> float:
    """The film in metres at which a ball just holds `load_fraction`, from above 0 to 0.64.

    A hair less where rounding would have the tested ball fall apart.
    """
    film = max(0.0, float(size_m) / 2 * (_cube_root(RANDOM_CLOSE_PACKING / load_fraction) - 1))
    step = math.ulp(float(size_m))
    while load_fraction_most(size_m=size_m, film_m=Fraction(film)) < load_fraction:
        film, step = max(0.0, film - step), 2 * step
    return film


def _cube_root(value: Fraction) -> float:
    """To the last bit on every machine, which `math.cbrt` does not promise."""
    context = Context(prec=50)
    quotient = context.divide(Decimal(value.numerator), Decimal(value.denominator))
    return float(context.power(quotient, context.divide(Decimal(1), Decimal(3))))
