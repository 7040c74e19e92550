"""Do points spread over many axes lie evenly along each, in every block?"""

import numpy as np
from hypothesis import given
from hypothesis import strategies as st

from takestats.models.block_points import block_points


@given(
    blocks=st.integers(1, 4),
    each=st.integers(1, 64),
    axes=st.integers(1, 40),
    seed=st.integers(0, 2**32 - 1),
)
def test_every_block_has_one_point_in_each_stratum_of_every_axis(
    blocks: int, each: int, axes: int, seed: int
) -> None:
    points = block_points(blocks, each, axes, np.random.default_rng(seed))
    assert points.shape == (blocks, each, axes)
    assert points.min() >= 0.0
    strata = np.sort(np.minimum(np.floor(points * each), each - 1), axis=1)
    assert (strata == np.arange(each)[:, None]).all()


def test_axes_do_not_go_together() -> None:
    points = block_points(32, 128, 70, np.random.default_rng(1)).reshape(-1, 70)
    apart = np.corrcoef(points.T)[~np.eye(70, dtype=bool)]
    # 4,096 pairs by chance: SD 1/64; of 2,415 pairs the farthest lies near 3.6 SDs.
    assert np.abs(apart).max() < 5 / 64


def test_a_mean_over_a_sum_of_axes_is_far_nearer_than_by_chance() -> None:
    found = [
        block_points(4, 64, 40, np.random.default_rng(seed)).sum(axis=2).mean()
        for seed in range(20)
    ]
    by_chance = np.sqrt(40 / 12 / 256)
    # A stratum's own uniform is 1/64 as wide: the SD of the mean falls by about that.
    assert np.std(found) < by_chance / 30
