"""Laws of the any-design posterior: recoding, order, merging, taken against failed."""

from __future__ import annotations

import numpy as np
from hypothesis import given, settings
from hypothesis import strategies as st
from numpy.typing import NDArray

from takestats.models.sampled import sample_posterior
from takestats.models.sampled_posterior import SampledPosterior
from takestats.models.sampled_quantiles import weighted_quantiles

Floats = NDArray[np.float64]
WANT = [0.025, 0.5, 0.975]


@st.composite
def trials(draw: st.DrawFn) -> tuple[Floats, Floats, Floats, NDArray[np.intp]]:
    """6-14 trays, two levels, one covariate on a few values."""
    lines = draw(st.integers(6, 14))
    rng = np.random.default_rng(draw(st.integers(0, 10_000)))
    g = np.arange(lines) % 2
    x = np.column_stack([np.ones(lines), g, rng.integers(0, 3, lines) - 1.0])
    x[:3, 2] = [-1.0, 0.0, 1.0]
    n = rng.integers(5, 41, lines).astype(float)
    k = np.round(n * np.clip(rng.normal(0.8, 0.15, lines), 0, 1))
    return k, n, x, g.astype(np.intp)


def limits(post: SampledPosterior, rows: Floats) -> Floats:
    takes = post.averaged_take(rows, spread_group=[0, 1])
    return post.quantiles(np.column_stack([takes, takes[:, 0] - takes[:, 1]]), WANT)


ROWS = np.array([[1.0, 0.0, 0.0], [1.0, 1.0, 0.0]])


@settings(max_examples=6)
@given(trials(), st.integers(0, 1000))
def test_coding_and_order_of_the_lines_change_nothing(
    trial: tuple[Floats, Floats, Floats, NDArray[np.intp]], seed: int
) -> None:
    k, n, x, g = trial
    rng = np.random.default_rng(seed)
    recode = rng.normal(size=(3, 3)) + 2.0 * np.eye(3)
    order = rng.permutation(k.size)
    one = sample_posterior(k, n, x, spread_group=g)
    two = sample_posterior(k[order], n[order], (x @ recode)[order], spread_group=g[order])
    # The draws are laid out free of coding and order: only rounding is left.
    np.testing.assert_allclose(limits(one, ROWS), limits(two, ROWS @ recode), atol=1e-6)
    np.testing.assert_allclose(
        [p.log_evidence for p in one.parts], [p.log_evidence for p in two.parts], atol=1e-6
    )


@settings(max_examples=4)
@given(trials())
def test_a_line_twice_is_a_line_with_multiplicity_two(
    trial: tuple[Floats, Floats, Floats, NDArray[np.intp]],
) -> None:
    k, n, x, g = trial
    twice = np.ones(k.size)
    twice[::3] = 2
    again = np.repeat(np.arange(k.size), twice.astype(int))
    one = sample_posterior(k, n, x, spread_group=g, multiplicity=twice)
    two = sample_posterior(k[again], n[again], x[again], spread_group=g[again])
    np.testing.assert_allclose(limits(one, ROWS), limits(two, ROWS), atol=1e-9)


@settings(max_examples=4)
@given(trials())
def test_taken_and_failed_are_mirrors(
    trial: tuple[Floats, Floats, Floats, NDArray[np.intp]],
) -> None:
    k, n, x, g = trial
    one = limits(sample_posterior(k, n, x, spread_group=g), ROWS)
    two = limits(sample_posterior(n - k, n, x, spread_group=g), ROWS)
    mirrored = np.column_stack([1 - two[::-1, 0], 1 - two[::-1, 1], -two[::-1, 2]])
    # Both sides are draws: each limit has an SD under 1 % of the width.
    np.testing.assert_allclose(one, mirrored, atol=0.008)


@given(
    # Whole thousandths: values closer than rounding would tie once they are moved.
    st.lists(st.integers(-5000, 5000), min_size=2, max_size=30, unique=True),
    st.floats(0.1, 3.0),
    st.floats(-2.0, 2.0),
)
def test_weighted_quantiles_move_with_the_values(
    values: list[int], scale: float, shift: float
) -> None:
    v = np.array(values) / 1000.0
    w = np.linspace(1.0, 2.0, v.size)
    q = weighted_quantiles(v, w, WANT)
    moved = weighted_quantiles(scale * v + shift, 3.0 * w, WANT)
    np.testing.assert_allclose(moved, scale * q + shift, atol=1e-9)
    assert np.all(np.diff(q) >= 0)
    assert v.min() <= q[0]
    assert q[-1] <= v.max()
