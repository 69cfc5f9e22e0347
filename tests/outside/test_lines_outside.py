"""Rates of lines against a closed form and against a general integrator."""

from __future__ import annotations

from collections.abc import Sequence

import pytest
from scipy.integrate import quad
from scipy.stats import beta, gamma

from bait.reckon.lines import LINES_EXAMPLE, Rate, best_shares, lines_parse, lines_work_out


@pytest.mark.parametrize(
    ("one", "other"),
    [
        (Rate(13, 200.0), Rate(15, 128.57)),
        (Rate(0.1, 50.0), Rate(2, 3.0)),
        (Rate(400, 0.02), Rate(3, 2.5)),
        (Rate(1, 1.0), Rate(1, 1.0)),
    ],
)
def test_of_two_lines_the_share_is_that_of_the_beta_distribution(one: Rate, other: Rate) -> None:
    """P(X > Y) = I(θx/(θx+θy); b, a) for X ~ Gamma(a, θx), Y ~ Gamma(b, θy): the ratio of Gamma
    variables is Beta (N. L. Johnson, S. Kotz, N. Balakrishnan, Continuous Univariate
    Distributions 1, chapter 17; from memory)."""
    exact = beta.cdf(one.scale / (one.scale + other.scale), other.shape, one.shape)
    assert best_shares([one, other])[0] == pytest.approx(exact, abs=1e-4)


@pytest.mark.parametrize(
    "rates",
    [
        [Rate(13, 2.0), Rate(15, 1.8), Rate(2, 9.0)],
        [Rate(1, 5.0), Rate(900, 0.01), Rate(40, 0.3), Rate(7, 1.1)],
    ],
)
def test_of_several_lines_the_share_is_that_of_an_adaptive_quadrature(
    rates: Sequence[Rate],
) -> None:
    """`scipy.integrate.quad` (QUADPACK) over the same integral, written over probabilities."""
    laws = [gamma(rate.shape, scale=rate.scale) for rate in rates]
    shares = best_shares(rates)
    for n, law in enumerate(laws):
        others = laws[:n] + laws[n + 1 :]

        def at(u: float, law: object = law, others: Sequence[object] = tuple(others)) -> float:
            x, product = law.ppf(u), 1.0  # type: ignore[attr-defined]
            for other in others:
                product *= other.cdf(x)  # type: ignore[attr-defined]
            return product

        exact, _error = quad(at, 0, 1, limit=200, epsabs=1e-8)
        assert shares[n] == pytest.approx(exact, abs=1e-4)


def test_the_interval_is_that_of_the_gamma_distribution() -> None:
    """Gamma prior and Poisson count (A. Gelman and others, Bayesian Data Analysis, 3rd ed., 2.6):
    12 fish in 40 minutes after 1 in 5 leave shape 13 and a rate of 45 minutes."""
    long = lines_work_out(lines_parse(LINES_EXAMPLE)).lines[0]
    low, high = gamma.ppf([0.05, 0.95], 13, scale=60 / 45)
    assert long.fish_per_hour_90 == pytest.approx((low, high), rel=1e-9)
