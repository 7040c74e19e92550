"""Is what stretches a normal draw to Student's t that of scipy's chi-square quantiles?"""

from __future__ import annotations

import numpy as np
import pytest
from scipy import stats

from takestats.models.sampled_proposal import Proposal, _stretch, _tails

FAR = np.logspace(-12, -1, 2_001)


@pytest.mark.parametrize("size", [1, 8, 9, 20, 64])
def test_it_is_the_quantile_of_chi_square(size: int) -> None:
    # Reference: scipy.stats.chi2. The table is cubic in steps of 1/16 of a normal score.
    freedom = _tails(size)[0]
    near = np.linspace(0.1, 0.9, 2_001)
    lower = np.sqrt(freedom / stats.chi2.ppf(np.append(FAR, near), freedom))
    assert _stretch(freedom, np.append(FAR, near)) == pytest.approx(lower, rel=2e-9)
    above = 1.0 - FAR  # what the number holds, which is not quite 1 - FAR
    upper = np.sqrt(freedom / stats.chi2.isf(1.0 - above, freedom))
    assert _stretch(freedom, above) == pytest.approx(upper, rel=2e-9)


def test_draws_of_one_axis_follow_students_t() -> None:
    # Reference: scipy.stats.t. Points are clipped to 1e-12 from either end, as they come.
    freedom, wider = _tails(1)
    proposal = Proposal(
        centre=np.zeros((1, 1)),
        axes=np.ones((1, 1, 1)),
        below=np.ones((1, 1)),
        above=np.ones((1, 1)),
    )
    points = stats.qmc.Sobol(2, seed=1).random(2**14)[None]
    found, log_density = proposal.draw(np.clip(points, 1e-12, 1.0 - 1e-12))
    assert stats.kstest(found.ravel() / wider, "t", (freedom,)).statistic < 2e-3
    assert log_density == pytest.approx(
        stats.t.logpdf(found[..., 0] / wider, freedom) - np.log(wider), abs=1e-9
    )
