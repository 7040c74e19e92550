"""A subset of the calibration of a few minutes: some settings of every row, fresh trials.

Every bar is held with three standard errors of the trials counted here; the full
run, in reports/, holds them without. Unequal spreads: the differences only, since
a take near 100 % with very uneven trays is known to stay under its floor there.
"""

from __future__ import annotations

import numpy as np
import pytest

from tests.calibration.regression import judge_regression, regression_settings
from tests.calibration.through_fit import fit_take_settings, judge_fit_take
from tests.calibration.two_arms import (
    grid_settings,
    judge,
    two_tray_settings,
    unequal_settings,
)
from tests.calibration.widths import judge_widths

pytestmark = pytest.mark.calibration
TRIALS = 1000
SEED = 77


def floor(bar: float, trials: int) -> float:
    """Three standard errors under a bar."""
    return bar - 3.0 * float(np.sqrt(bar * (1.0 - bar) / trials))


@pytest.mark.parametrize("index", range(0, 216, 6))
def test_two_arms_hold_the_truth(index: int) -> None:
    found = judge(grid_settings()[index], TRIALS, (SEED, index))
    for target in ("a", "b", "gap", "odds"):
        assert found[f"{target}_coverage"] >= floor(0.905, TRIALS), target
    assert found["no_answer"] == 0


@pytest.mark.parametrize("index", range(0, 54, 9))
def test_two_trays_an_arm_hold_the_truth(index: int) -> None:
    found = judge(two_tray_settings()[index], TRIALS, (SEED, index))
    for target in ("a", "b", "gap"):
        assert found[f"{target}_coverage"] >= floor(0.905, TRIALS), target
    assert found["no_answer"] == 0


@pytest.mark.parametrize("index", range(0, 120, 8))
def test_differences_of_unequally_uneven_methods_hold_the_truth(index: int) -> None:
    found = judge(unequal_settings()[index], TRIALS, (SEED, index))
    assert found["gap_coverage"] >= floor(0.91, TRIALS)


@pytest.mark.parametrize("index", range(3, 216, 36))
def test_limits_are_not_much_wider_than_the_effective_number(index: int) -> None:
    assert judge_widths(grid_settings()[index], TRIALS, (SEED, index))["to_quick"] <= 1.45


@pytest.mark.parametrize("index", [4, 40, 78])
def test_through_fit_take_they_hold_the_truth(index: int) -> None:
    trials = 200
    found = judge_fit_take(fit_take_settings()[index], trials, (SEED, index))
    for name, value in found.items():
        if name.endswith("_coverage"):
            assert value >= floor(0.91, trials), name
    assert found["no_answer"] == 0


@pytest.mark.parametrize("index", [2, 15])
def test_with_several_factors_they_hold_the_truth(index: int) -> None:
    trials = 100
    found = judge_regression(regression_settings()[index], trials, (SEED, index))
    for name, value in found.items():
        if name.endswith("_coverage"):
            assert value >= floor(0.91, trials), name
    assert found["no_answer"] == 0
