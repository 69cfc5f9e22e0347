"""The mix against published packing of spheres and figures of the trade, source beside each."""

from __future__ import annotations

import math
from fractions import Fraction

import pytest
from scipy.optimize import brentq

from bait.reckon.mix import (
    MIX_DEFAULTS,
    RANDOM_CLOSE_PACKING,
    SqueezeTest,
    ball_litres,
    load_fraction_most,
    squeeze_reckon,
)


def test_bare_spheres_fill_the_random_close_packing() -> None:
    """Random close packing of equal spheres 0.64, 0.637 measured (published; Scott & Kilgour,
    J. Phys. D 2 (1969) 863). No packing is above π/√18 (Kepler's bound, proved by Hales)."""
    most = load_fraction_most(size_m=Fraction("0.0035"), film_m=Fraction(0))
    assert most == RANDOM_CLOSE_PACKING == Fraction("0.64")
    assert most == pytest.approx(0.637, abs=0.005)
    assert most < math.pi / math.sqrt(18)


def test_loose_particles_lie_between_random_loose_and_random_close_packing() -> None:
    """Random loose packing 0.55–0.58, random close 0.64 (published)."""
    assert 0.58 <= MIX_DEFAULTS["packing"] <= 0.64


def test_packing_and_body_density_give_the_weight_of_loose_maggots() -> None:
    """Loose maggots 0.60–0.65 kg/L: one club's rule fixes 0.65 (a secondary source); bodies of
    1.05 kg/L, from memory."""
    assert 0.60 <= MIX_DEFAULTS["packing"] * Fraction("1.05") <= 0.65


def test_a_tenth_of_animal_bait_holds_with_the_films_taken_for_granted() -> None:
    """Advice that a ball breaks above 5–10 % of animal bait (a secondary source) is more careful
    than what skilled hands load: the default film lets a ball take more, and the page says to try.
    Dead maggot 5 mm across as a sphere, from memory."""
    most = load_fraction_most(size_m=Fraction("0.005"), film_m=MIX_DEFAULTS["film_m"])
    loose = most / MIX_DEFAULTS["packing"]
    assert loose > Fraction("0.1")


@pytest.mark.parametrize("load_l", ["0.01", "0.1", "0.15", "0.25"])
def test_the_film_is_the_root_that_scipy_finds(load_l: str) -> None:
    """Source: scipy.optimize.brentq on the model's own equation."""
    ball, size, load = Fraction("0.08"), Fraction("0.0035"), Fraction(load_l)
    fraction = float(load * Fraction("0.6") / ball_litres(ball))
    root = brentq(lambda film: 0.64 / (1 + 2 * film / 0.0035) ** 3 - fraction, 0, 1, xtol=1e-15)
    film = squeeze_reckon(SqueezeTest(ball, load, size)).film_m
    assert film == pytest.approx(root, rel=1e-9)


def test_a_ball_has_the_volume_of_a_sphere() -> None:
    """Source: 4/3·π·r³ (any textbook)."""
    assert float(ball_litres(Fraction("0.08"))) == pytest.approx(4 / 3 * math.pi * 0.4**3)
