"""Do the lists of versions say what pyproject says? .ci/dependencies runs the tests with them.

Versions are compared by the packaging library, as installers do: 2.0 and 2.0.0 are one.
"""

from __future__ import annotations

import re
import tomllib
from pathlib import Path

import pytest
from packaging.requirements import Requirement
from packaging.utils import canonicalize_name
from packaging.version import Version

ROOT = Path(__file__).parents[1]
PROJECT = tomllib.loads((ROOT / "pyproject.toml").read_text("utf-8"))["project"]
EXTRAS = PROJECT["optional-dependencies"]
RUN_IN_TESTS = [*PROJECT["dependencies"], *EXTRAS["test"], *EXTRAS["cluster"]]


def exact(name: str) -> dict[str, Version]:
    """Give the versions of a list; a line that is none of `name==version` fails."""
    lines = (ROOT / ".ci" / name).read_text("utf-8").splitlines()
    rows = [line.split("==") for line in lines if line and not line.startswith("#")]
    assert all(len(row) == 2 for row in rows)
    found = {canonicalize_name(row[0]): Version(row[1]) for row in rows}
    assert len(found) == len(rows), "a library stands there twice"
    return found


def lower_bound(declared: str) -> Version:
    (bound,) = Requirement(declared).specifier
    assert bound.operator == ">=", f"{declared}: a lower bound, and nothing else"
    return Version(bound.version)


@pytest.mark.parametrize("declared", RUN_IN_TESTS)
def test_the_oldest_set_stands_at_the_lower_bounds(declared: str) -> None:
    name = canonicalize_name(Requirement(declared).name)
    assert exact("oldest.txt")[name] == lower_bound(declared)


@pytest.mark.parametrize("declared", [*RUN_IN_TESTS, *EXTRAS["dev"]])
def test_the_checked_set_holds_all_that_is_declared(declared: str) -> None:
    name = canonicalize_name(Requirement(declared).name)
    assert exact("constraints.txt")[name] >= lower_bound(declared)


def test_a_python_is_listed_only_from_the_oldest_up() -> None:
    oldest = lower_bound(f"python{PROJECT['requires-python']}")
    told = [re.fullmatch(r".*:: (3\.\d+)", line) for line in PROJECT["classifiers"]]
    listed = [Version(found[1]) for found in told if found]
    assert min(listed) == oldest
    assert listed == sorted(listed)
