"""Are the quantiles of many draws those that putting all of them in order gives?"""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from takestats.models.weighted import weighted_quantile

SHARES = (0.0, 0.005, 0.025, 0.5, 0.975, 1.0)
SHAPES = {
    "normal": lambda rng, many: rng.normal(size=many),
    "heavy tails": lambda rng, many: rng.standard_t(1.0, size=many),
    "ties": lambda rng, many: np.floor(4.0 * rng.random(many)),
    "all but one alike": lambda rng, many: np.append(np.zeros(many - 1), 1.0),
    "one value": lambda rng, many: np.full(many, 0.3),
    "without end": lambda rng, many: np.append(rng.random(many - 2), [np.inf, -np.inf]),
    "wider than a number holds": lambda rng, many: 1.7e308 * np.sign(rng.normal(size=many)),
    "next to nothing": lambda rng, many: 5e-324 * np.floor(4.0 * rng.random(many)),
}


def smallest_with(values: np.ndarray, weights: np.ndarray, share: float) -> float:
    """By its definition: the smallest draw with this share of the weight at or below it."""
    order = np.argsort(values, kind="stable")
    below = np.cumsum(weights[order])
    return float(values[order][np.flatnonzero(below >= share * below[-1])[0]])


@pytest.mark.parametrize("shape", SHAPES)
@pytest.mark.parametrize("many", [1_000, 20_000])
@settings(max_examples=6)
@given(seed=st.integers(0, 2**32 - 1))
def test_it_is_the_draw_of_the_definition(shape: str, many: int, seed: int) -> None:
    rng = np.random.default_rng(seed)
    values = SHAPES[shape](rng, many)
    # Whole weights, some of them nothing: sums are exact in any order, so the draw is the same.
    weights = np.floor(8.0 * rng.random(many) ** 4)
    assert weighted_quantile(values, weights, SHARES) == [
        smallest_with(values, weights, share) for share in SHARES
    ]


def test_weights_that_do_not_add_up_exactly_move_it_by_one_draw_at_most() -> None:
    rng = np.random.default_rng(5)
    values, weights = rng.normal(size=20_000), rng.random(20_000) / 3.0
    found = weighted_quantile(values, weights, SHARES)
    ranked = np.sort(values)
    for value, share in zip(found, SHARES, strict=True):
        apart = np.searchsorted(ranked, [value, smallest_with(values, weights, share)])
        assert abs(int(apart[0]) - int(apart[1])) <= 1


def test_a_draw_that_is_no_number_stands_last() -> None:
    values = np.append(np.arange(5_000.0), np.nan)
    assert weighted_quantile(values, np.ones(values.size), [0.5]) == [2_500.0]
