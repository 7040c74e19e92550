"""Is the batched one-arm grid the grid of a single fit?"""

from __future__ import annotations

import numpy as np
import pytest

from takestats.models.grid import fit_grid, level_trays
from takestats.models.grid_pairs import take_distribution
from takestats.models.phi_grid import usual_grid
from takestats.planning.judged import judged, plan_grid
from takestats.planning.one_arm import one_arm_posterior
from takestats.planning.question import Question
from takestats.planning.simulated import simulated_counts

SHARES = (0.025, 0.5, 0.975)


@pytest.mark.parametrize(("trays", "size"), [(3, 12), (10, 24), (40, 24)])
def test_limits_are_those_of_a_single_fit(trays: int, size: int) -> None:
    question = Question(kind="estimate", take_a=0.0, take_b=0.9, margin=0.05, tray_size=size)
    (counts,) = simulated_counts(question, trays, (0.1,), 12, (8,))
    grid = plan_grid(question, trays, 0.1)
    found = one_arm_posterior(counts, size, grid).take_limits(0, SHARES)
    for row, limits in zip(counts.astype(float), found, strict=True):
        fit = fit_grid([level_trays(row, np.full(trays, float(size)), 0)])
        wanted = take_distribution(fit, 0).quantiles(SHARES)
        assert limits == pytest.approx(wanted, abs=0.004)


def test_shown_limits_reach_the_end_where_every_graft_took() -> None:
    question = Question(kind="estimate", take_a=0.0, take_b=0.95, margin=0.15, tray_size=20)
    counts = np.full((1, 3), 20)
    low = one_arm_posterior(counts, 20, usual_grid()).take_limits(0, SHARES)[0, 0]
    verdict = judged(question, (counts,), 0.1, widths=1)
    assert verdict.width == pytest.approx(1.0 - low, abs=2e-4)
    assert bool(verdict.found[0]) == (0.5 * (1.0 - low) <= 0.15)
