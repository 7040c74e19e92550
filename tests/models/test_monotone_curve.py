"""Is the curve between looks the library's?"""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.interpolate import PchipInterpolator

from takestats.models.monotone_curve import monotone_curve

HEIGHTS = st.one_of(st.sampled_from([0.0, 1.0, -1.0]), st.floats(-1e3, 1e3))


@given(
    heights=st.lists(HEIGHTS, min_size=2, max_size=12),
    steps=st.lists(st.floats(1e-3, 1e2), min_size=12, max_size=12),
    share=st.lists(st.floats(0.0, 1.0), min_size=1, max_size=9),
)
def test_it_is_that_of_scipy(heights: list[float], steps: list[float], share: list[float]) -> None:
    # Reference: scipy.interpolate.PchipInterpolator; places themselves are among those asked.
    x = np.cumsum(steps[: len(heights)])
    y = np.array(heights)
    at = np.concatenate([x, x[0] + np.array(share) * (x[-1] - x[0])]).clip(x[0], x[-1])
    with np.errstate(over="ignore"):  # the library warns of rises near the smallest number
        theirs = PchipInterpolator(x, y)(at)
    assert monotone_curve(x, y, at).tolist() == theirs.tolist()


def test_a_rise_next_to_nothing_is_no_warning() -> None:
    x, y = np.arange(4.0), np.array([0.0, 0.0, 2.2250738585e-313, 1.0])
    assert np.isfinite(monotone_curve(x, y, np.linspace(0.0, 3.0, 31))).all()


@pytest.mark.parametrize("axis", [0, 1])
def test_every_line_of_a_table_has_its_own_curve(axis: int) -> None:
    rng = np.random.default_rng(3)
    x, table = np.cumsum(rng.random(8)), rng.normal(size=(8, 8))
    at = np.linspace(x[0], x[-1], 160)
    found = monotone_curve(x, table, at, axis)
    assert found.tolist() == PchipInterpolator(x, table, axis=axis)(at).tolist()


@given(heights=st.lists(st.floats(0.0, 5.0), min_size=3, max_size=9))
def test_it_rises_where_they_rise(heights: list[float]) -> None:
    y = np.cumsum(heights)
    x = np.arange(y.size, dtype=float)
    found = monotone_curve(x, y, np.linspace(0.0, x[-1], 400))
    # Sums of a few dozen: rounding of the last digits alone may go down.
    assert np.diff(found).min() >= -1e-12
