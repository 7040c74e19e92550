"""Two spreads by maximum likelihood: against one spread, and where there is no maximum.

The comparison with R stands in tests/reference/test_other_engines.py.
"""

from __future__ import annotations

import numpy as np
import pytest

from takestats.errors import DesignError
from takestats.models.layered_ml import ml_two_spreads
from takestats.models.maximum_likelihood import maximum_likelihood

TAKEN = np.array([15.0, 17, 12, 9, 8, 11, 18, 19, 16, 13, 14, 12])
TRIED = np.full(12, 20.0)
GROUP = np.repeat(np.arange(4), 3)


def test_without_spread_between_trays_it_is_laplace_with_one_effect() -> None:
    one = maximum_likelihood(TAKEN, TRIED, np.ones((12, 1)), groups=GROUP, nodes=1)
    two = ml_two_spreads(TAKEN, TRIED, np.ones((12, 1)), GROUP)
    # Trays of a group here differ less than chance: the second spread is 0.
    assert two.tray_sd == pytest.approx(0.0, abs=1e-3)
    assert two.group_sd == pytest.approx(one.spread, abs=1e-4)
    assert two.fit.log_likelihood == pytest.approx(one.log_likelihood, abs=1e-5)
    np.testing.assert_allclose(two.fit.coefficients, one.coefficients, atol=1e-4)
    np.testing.assert_allclose(two.fit.standard_errors, one.standard_errors, atol=1e-3)


def test_groups_of_one_tray_add_their_spreads() -> None:
    # The two effects of a line cannot be told apart: only the sum of squares is known.
    taken = np.array([4.0, 19, 8, 20, 12, 6, 17, 11])
    one = maximum_likelihood(taken, np.full(8, 20.0), np.ones((8, 1)), nodes=1)
    two = ml_two_spreads(taken, np.full(8, 20.0), np.ones((8, 1)), np.arange(8))
    assert two.fit.sigma == pytest.approx(one.spread, abs=1e-3)
    assert two.fit.log_likelihood == pytest.approx(one.log_likelihood, abs=1e-5)


def test_a_level_that_took_throughout_has_no_maximum() -> None:
    full = np.where(GROUP > 1, TRIED, TAKEN)
    x = np.column_stack([np.ones(12), GROUP > 1]).astype(float)
    with pytest.raises(DesignError, match="no maximum"):
        ml_two_spreads(full, TRIED, x, GROUP)
