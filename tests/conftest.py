"""What every test shares: the same Hypothesis examples on every run."""

from __future__ import annotations

import os
from pathlib import Path

import pytest
from hypothesis import HealthCheck, settings

# The suite has both cores busy already; tests/models/test_side_by_side.py uses them on purpose.
os.environ.setdefault("TAKESTATS_ONE_AT_A_TIME", "1")

settings.register_profile(
    "fixed",
    derandomize=True,
    database=None,  # nothing is remembered between runs
    deadline=None,  # two busy cores are not a failing law
    max_examples=60,
    suppress_health_check=[HealthCheck.too_slow],
)
settings.load_profile("fixed")


@pytest.fixture(scope="session")
def demo_page(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Make the season page of the invented season, by the command a reader would run."""
    from takestats.cli.app import main

    folder = tmp_path_factory.mktemp("demo")
    assert main(["demo", "--out", str(folder)]) == 0
    return folder / "season_page.html"
