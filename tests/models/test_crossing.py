"""Is a crossing where the curve is known to cross, as near as was asked?"""

from __future__ import annotations

import math

import pytest

from takestats.models.crossing import crossing


@pytest.mark.parametrize("within", [1e-3, 1e-12])
def test_a_known_crossing_is_found_as_near_as_asked(within: float) -> None:
    assert abs(crossing(math.cos, 1.0, 2.0, within=within) - math.pi / 2.0) <= within


def test_a_curve_on_one_side_has_none() -> None:
    with pytest.raises(ValueError, match="different signs"):
        crossing(math.exp, 0.0, 1.0)
