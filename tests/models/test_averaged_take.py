"""The average over trays, its inverse and its correlation, against direct integration."""

from __future__ import annotations

import itertools

import numpy as np
import pytest
from scipy import integrate, special, stats

from takestats.models.averaged_take import averaged, correlation_of_sigma, theta_of_take

THETAS = (-6.0, -1.5, 0.0, 0.7, 2.5, 5.0, 9.0)
SIGMAS = (0.03, 0.2, 0.7, 1.45, 2.4, 4.4, 6.0)


def over_trays(theta: float, sigma: float, power: int) -> float:
    """E expit(-theta - sigma z) ** power, by adaptive quadrature."""

    def inside(z: float) -> float:
        return float(special.expit(-theta - sigma * z) ** power * stats.norm.pdf(z))

    middle = float(np.clip(-theta / sigma, -9.0, 9.0))
    pieces = sorted({-12.0, middle, 12.0})
    return sum(
        integrate.quad(inside, a, b, epsabs=1e-15, epsrel=1e-11, limit=400)[0]
        for a, b in itertools.pairwise(pieces)
    )


@pytest.mark.parametrize("sigma", SIGMAS)
def test_the_averaged_take_is_the_integral_over_trays(sigma: float) -> None:
    takes, fails = averaged(np.array(THETAS), np.array([sigma]))
    expected = [over_trays(theta, sigma, 1) for theta in THETAS]
    # The trapezoid's own error is below 1e-13; quad was asked for 1e-11. A sixteenth
    # of a digit is lost where the share that fails is itself under 1e-4.
    np.testing.assert_allclose(fails, expected, rtol=1e-9)
    np.testing.assert_allclose(takes + fails, 1.0, rtol=0, atol=1e-14)


def test_without_spread_the_average_is_the_middle_tray() -> None:
    takes, _ = averaged(np.array(THETAS), np.array([0.0]))
    np.testing.assert_allclose(takes, special.expit(THETAS), rtol=1e-13)


def test_the_middle_tray_is_found_back_from_the_average() -> None:
    # From one in a million failing to one in a million taking.
    phi = np.concatenate([[0.001], np.linspace(0.02, 1.55, 60), [np.pi / 2 - 0.001]])
    theta = theta_of_take(phi, np.array(SIGMAS))
    assert theta.shape == (len(SIGMAS), phi.size)
    takes, fails = averaged(theta, np.array(SIGMAS)[:, None])
    # Compared on the side that is small, so that both ends count to the same digits.
    np.testing.assert_allclose(takes, np.broadcast_to(np.sin(phi) ** 2, takes.shape), rtol=1e-8)
    np.testing.assert_allclose(fails, np.broadcast_to(np.cos(phi) ** 2, fails.shape), rtol=1e-8)


def test_taken_and_failed_mirror() -> None:
    phi = np.linspace(0.05, 1.5, 40)
    sigma = np.array([0.3, 2.0])
    np.testing.assert_allclose(
        theta_of_take(phi, sigma), -theta_of_take(np.pi / 2 - phi, sigma), atol=1e-8
    )


@pytest.mark.parametrize("sigma", SIGMAS)
def test_the_correlation_is_the_variance_over_trays_as_a_share(sigma: float) -> None:
    found = correlation_of_sigma(np.array(THETAS), np.array([sigma]))
    for theta, value in zip(THETAS, found, strict=True):
        mean = over_trays(theta, sigma, 1)
        direct = (over_trays(theta, sigma, 2) - mean**2) / (mean * (1.0 - mean))
        # The direct form subtracts two nearly equal squares: that costs digits, not ours.
        assert value == pytest.approx(direct, rel=1e-6, abs=1e-10)
        assert 0.0 < value < 1.0


def test_a_wider_spread_is_a_higher_correlation() -> None:
    found = correlation_of_sigma(np.array([1.0]), np.array(SIGMAS))
    assert np.all(np.diff(found) > 0)
