"""One report of the small records, computed once for every test of pages."""

from __future__ import annotations

import pytest

from takestats.pages.comparison_page import comparison_report
from takestats.pages.parts import SeasonReport
from takestats.pages.season_page import season_report
from tests.pages.small_seasons import small_records


@pytest.fixture(scope="session")
def small_report() -> SeasonReport:
    return season_report(small_records())


@pytest.fixture(scope="session")
def small_comparison() -> SeasonReport:
    """Scion wood alone, the method beside it."""
    return comparison_report(small_records(), "scion_wood")
