"""The shape of a curve: against a natural cubic spline worked out another way, and its rules."""

from __future__ import annotations

import numpy as np
import pytest
from scipy import interpolate

from takestats.models.splines import curve_through, is_curve, restricted_cubic


def test_it_spans_the_same_curves_as_scipys_natural_spline() -> None:
    # A restricted cubic spline is a natural cubic spline with straight ends
    # (Harrell 2001, section 2.4.5, from memory). scipy.interpolate draws one
    # through any heights at the knots; our columns must reproduce it exactly.
    knots = np.array([1.0, 2.5, 4.0, 7.0])
    x = np.linspace(1.0, 7.0, 61)
    basis = np.column_stack([np.ones_like(x), x, restricted_cubic(x, knots)])
    for heights in np.eye(4):
        natural = interpolate.CubicSpline(knots, heights, bc_type="natural")(x)
        fitted = basis @ np.linalg.lstsq(basis, natural, rcond=None)[0]
        np.testing.assert_allclose(fitted, natural, atol=1e-10)


def test_it_is_straight_beyond_its_outer_knots() -> None:
    knots = np.array([1.0, 2.0, 4.0])
    for x in (np.linspace(-3.0, 0.9, 20), np.linspace(4.1, 9.0, 20)):
        bends = np.diff(restricted_cubic(x, knots)[:, 0], 2)
        np.testing.assert_allclose(bends, 0.0, atol=1e-12)


@pytest.mark.parametrize(
    ("values", "trays", "knots"),
    [
        ([1.0, 2.0, 3.0, 4.0, 4.0, 1.0], 20, 0),  # four distinct values: a straight line
        (list(range(12)), 14, 3),  # under 15 trays
        (list(range(20)), 15, 4),
        ([0.0] * 15 + [1.0, 2.0, 3.0, 4.0, 5.0], 20, 0),  # tied knots: a straight line
    ],
)
def test_knots_follow_the_trays_and_the_values(values: list[float], trays: int, knots: int) -> None:
    curve = curve_through("days", values, trays)
    assert len(curve.knots) == knots
    assert curve.basis(values).shape == (len(values), curve.columns)


def test_three_values_are_no_curve() -> None:
    assert not is_curve([1.0, 2.0, 3.0, 3.0])
    assert is_curve([1.0, 2.0, 3.0, 4.0])


def test_no_curve_is_drawn_outside_nine_tenths_of_the_values() -> None:
    curve = curve_through("days", np.arange(101.0), 101)
    assert (curve.low, curve.high) == (5.0, 95.0)
