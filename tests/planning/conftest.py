"""Fewer simulated trials than a real plan has: what is tested here does not hang on the last digit.

Full numbers are run by tests/planning/test_search.py and by the calibration.
"""

from __future__ import annotations

from collections.abc import Iterator

import pytest

from takestats.planning import assurance, built, power


@pytest.fixture(autouse=True, scope="module")
def fewer_trials(request: pytest.FixtureRequest) -> Iterator[None]:
    if request.module.__name__.endswith("test_search"):
        yield
        return
    with pytest.MonkeyPatch.context() as patch:
        for module, name, trials in (
            (power, "CONFIRM", 700),
            (power, "FEEL", 250),
            (power, "PAIRED_CONFIRM", 400),
            (power, "PAIRED_FEEL", 150),
            (power, "WIDTHS", 40),
            (built, "_NULL_TRIALS", 400),
            (built, "_PAIRED_NULL_TRIALS", 400),
            (assurance, "_TRIALS", 40),
        ):
            patch.setattr(module, name, trials)
        yield
