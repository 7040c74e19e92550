"""A subset of the calibration of a few minutes: every sixth setting, fresh trials."""

from __future__ import annotations

import numpy as np
import pytest

from tests.calibration.two_arms import grid_settings, judge

pytestmark = pytest.mark.calibration
TRIALS = 1000
# Three standard errors of a coverage of .905 counted in 1,000 trials.
LEEWAY = 3.0 * np.sqrt(0.905 * 0.095 / TRIALS)


@pytest.mark.parametrize("index", range(0, 216, 6))
def test_the_limits_hold_the_truth(index: int) -> None:
    found = judge(grid_settings()[index], TRIALS, (77, index))
    for target in ("a", "b", "gap", "odds"):
        assert found[f"{target}_coverage"] >= 0.905 - LEEWAY, target
    assert found["no_answer"] == 0
