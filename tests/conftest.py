"""What every test shares: the same Hypothesis examples on every run."""

from __future__ import annotations

import gc
import os
from pathlib import Path

import pytest
from hypothesis import HealthCheck, settings

from tests.demo_run import DemoRun, demo_run_of
from tests.made_once import MadeOnce

# One thread for linear algebra, as the command line sets it: two processes have both cores busy,
# and the last digits do not hang on the number of cores. Nothing has loaded numpy yet.
for _name in ("OPENBLAS_NUM_THREADS", "OMP_NUM_THREADS", "MKL_NUM_THREADS"):
    os.environ.setdefault(_name, "1")

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


def pytest_collection_finish() -> None:
    """Leave the thousands of tests themselves out of every later search for garbage."""
    gc.collect()
    gc.freeze()
    gc.set_threshold(20_000, 25, 50)


@pytest.fixture(scope="session")
def made_once(tmp_path_factory: pytest.TempPathFactory) -> MadeOnce:
    """Share what is dear to make between the processes of this run."""
    own = tmp_path_factory.getbasetemp()
    return MadeOnce(own.parent if os.environ.get("PYTEST_XDIST_WORKER") else own)


@pytest.fixture(scope="session")
def demo_run(made_once: MadeOnce) -> DemoRun:
    """Run `takestats demo`, once for all processes of this run."""
    return demo_run_of(made_once)


@pytest.fixture(scope="session")
def demo_page(demo_run: DemoRun) -> Path:
    """Give the season page of the invented season."""
    assert demo_run.code == 0
    return demo_run.folder / "takestats_demo" / "season_page.html"
