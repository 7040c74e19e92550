"""Laws of the textbook formulas; their numbers are held by tests/reference/test_sample_sizes.py."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as some

from takestats.planning import closed_forms as forms

TAKES = some.floats(0.05, 0.95)


@given(TAKES, TAKES, some.floats(0.6, 0.95))
def test_a_size_has_its_power(one: float, two: float, power: float) -> None:
    if abs(one - two) < 0.02:
        return
    size = forms.pooled_size(one, two, 0.95, power)
    assert forms.pooled_power(one, two, size, 0.95) == pytest.approx(power, abs=1e-9)
    size = forms.blackwelder_size(one, one, 0.1, 0.95, power)
    assert forms.blackwelder_power(one, one, 0.1, size, 0.95) == pytest.approx(power, abs=1e-9)
    low, high = sorted((one, two))
    size = forms.floor_size(low, high, 0.95, power)
    assert forms.floor_power(low, high, size, 0.95) == pytest.approx(power, abs=1e-9)


@given(TAKES, some.floats(0.02, 0.2))
def test_the_restricted_takes_lie_the_margin_apart(take: float, margin: float) -> None:
    if take - margin < 0.02:
        return
    standard, new = forms.restricted_takes(take, take, margin)
    assert standard - new == pytest.approx(margin, abs=1e-12)
    assert standard >= take - 1e-6
    assert new <= take + 1e-6


def test_the_mirror_needs_as_many() -> None:
    for form in (forms.pooled_size, forms.arcsine_size, forms.unpooled_size):
        assert form(0.9, 0.8, 0.95, 0.8) == pytest.approx(form(0.1, 0.2, 0.95, 0.8), rel=1e-9)
