"""Two groupings that cross: against the nested fit where one of them does nothing; laws; notes."""

from __future__ import annotations

import numpy as np
import pytest
from scipy.special import expit

from takestats.errors import DesignError
from takestats.models.layered import sample_layers
from takestats.models.layered_crossed_fit import APPROXIMATE, CrossedPosterior, sample_crossed
from takestats.models.sampled_part import takes_of
from takestats.models.sampled_quantiles import weighted_quantiles

WANT = [0.025, 0.5, 0.975]
TWO = np.array([[1.0, 0.0], [1.0, 1.0]])
RNG = np.random.default_rng(5)
BLOCK = np.repeat(np.arange(8), 6)
GRAFTER = np.tile(np.arange(4), 12)
METHOD = RNG.integers(0, 2, 48)
X = np.column_stack([np.ones(48), METHOD])
N = np.full(48, 25.0)
ETA = 1.3 + 0.5 * METHOD + 0.7 * RNG.normal(size=8)[BLOCK] + 0.5 * RNG.normal(size=4)[GRAFTER]
K = RNG.binomial(25, expit(ETA + 0.3 * RNG.normal(size=48))).astype(float)


def limits(post: CrossedPosterior) -> np.ndarray:
    takes = post.averaged_take(TWO)
    return post.quantiles(np.column_stack([takes, takes[:, 1] - takes[:, 0]]), WANT)


@pytest.fixture(scope="module")
def post() -> CrossedPosterior:
    return sample_crossed(K, N, X, BLOCK, GRAFTER, level=METHOD)


def test_a_grouping_that_does_nothing_leaves_the_fit_of_the_other() -> None:
    # SD of the second grouping held near 0 by its prior; what is left is Laplace's
    # approximation against quadrature over the same eight groups.
    crossed = sample_crossed(
        K, N, X, BLOCK, np.arange(48) % 3, level=METHOD, group_scales=(1.5, 0.02)
    )
    nested = sample_layers(K, N, X, BLOCK, layer="grouping", level=METHOD).parts[1]
    takes = np.concatenate(list(takes_of(nested, TWO, np.zeros(2, dtype=np.intp))))
    both = np.column_stack([takes, takes[:, 1] - takes[:, 0]])
    expected = weighted_quantiles(both, nested.weights, WANT)
    np.testing.assert_allclose(limits(crossed), expected, atol=0.008)


def test_which_grouping_is_named_first_does_not_matter(post: CrossedPosterior) -> None:
    other = sample_crossed(K, N, X, GRAFTER, BLOCK, level=METHOD)
    np.testing.assert_allclose(limits(other), limits(post), atol=1e-6)
    for side in (0, 1):
        assert other.names[1 - side].tolist() == post.names[side].tolist()
        one = np.quantile(post.takes(TWO, side), WANT, axis=0)
        two = np.quantile(other.takes(TWO, 1 - side), WANT, axis=0)
        np.testing.assert_allclose(one, two, atol=0.015)


def test_it_says_that_it_is_approximate(post: CrossedPosterior) -> None:
    assert post.notes == (APPROXIMATE,)
    assert post.ess > 400


def test_spreads_and_takes_of_the_groups(post: CrossedPosterior) -> None:
    for which, truth in enumerate((0.7, 0.5, 0.3)):
        low, high = weighted_quantiles(*post.spread_draws(which), [0.01, 0.99])
        assert low < truth < high
    for side, label in enumerate((BLOCK, GRAFTER)):
        own = np.median(post.takes(TWO, side), axis=0)
        raw = np.array([K[label == name].sum() / N[label == name].sum()
                        for name in post.names[side]])  # fmt: skip
        assert np.corrcoef(own, raw)[0, 1] > 0.9
        if side == 0:
            # Blocks, the wider apart: pulled together.
            assert np.ptp(own) < np.ptp(raw)


def test_every_graft_took() -> None:
    full = sample_crossed(N, N, X, BLOCK, GRAFTER, level=METHOD)
    found = limits(full)
    assert np.isfinite(found).all()
    assert found[0, 2] < 0.0 < found[2, 2]


def test_labels_that_do_not_match() -> None:
    with pytest.raises(DesignError, match="48 and 3 labels of groups for 48 lines"):
        sample_crossed(K, N, X, BLOCK, [1, 2, 3])
