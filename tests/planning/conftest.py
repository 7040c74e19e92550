"""Fewer simulated trials than a real plan has: what is tested here does not hang on the last digit.

Full numbers are run by tests/planning/test_search.py and by the calibration.
"""

from __future__ import annotations

from collections.abc import Iterator

import pytest

from tests.planning.few_trials import few_trials


@pytest.fixture(autouse=True, scope="module")
def fewer_trials(request: pytest.FixtureRequest) -> Iterator[None]:
    if request.module.__name__.endswith("test_search"):
        yield
        return
    with few_trials():
        yield
