"""Is the root light, complete and what the README says?"""

from __future__ import annotations

import json
import os
import re
import statistics
import subprocess
import sys
import time
from pathlib import Path

import pytest

import takestats

ROOT = Path(__file__).parents[1]
HEAVY = ["numpy", "pandas", "scipy", "statsmodels", "matplotlib", "seaborn", "pandera"]


@pytest.mark.parametrize("name", takestats.__all__)
def test_every_public_name_resolves_and_is_called_what_it_is(name: str) -> None:
    found = getattr(takestats, name)
    assert found.__name__ == name
    assert found.__doc__
    assert name in dir(takestats)


def test_no_name_is_both_a_module_and_a_function() -> None:
    modules = {p.stem for p in (ROOT / "takestats").iterdir()}
    assert not modules & set(takestats.__all__)


def test_an_unknown_name_is_refused() -> None:
    with pytest.raises(AttributeError, match="no attribute 'graft_all'"):
        takestats.graft_all  # noqa: B018


def test_type_checkers_are_told_the_same_homes() -> None:
    source = (ROOT / "takestats" / "__init__.py").read_text("utf-8")
    told = {
        name: home
        for home, name, again in re.findall(r"    from (\S+) import (\w+) as (\w+)", source)
        if name == again
    }
    assert told == takestats._HOMES


def test_readme_names_every_public_function() -> None:
    readme = (ROOT / "README.md").read_text("utf-8")
    functions = [n for n in takestats.__all__ if n[0].islower()]
    assert [n for n in functions if n not in readme] == []


def loaded_by(code: str) -> set[str]:
    done = subprocess.run(
        [sys.executable, "-c", f"{code}\nimport json, sys; print(json.dumps(list(sys.modules)))"],
        capture_output=True,
        text=True,
        check=True,
    )
    return {name.split(".")[0] for name in json.loads(done.stdout.splitlines()[-1])}


@pytest.mark.parametrize(
    "code",
    [
        "import takestats",
        "from takestats.cli.app import main; main(['--help'])",
        "from takestats.cli.app import main; main([])",
        "from takestats.cli.app import main; main(['report', '--help'])",
    ],
)
def test_import_and_help_load_nothing_heavy(code: str) -> None:
    assert not loaded_by(code) & set(HEAVY)


def seconds(*words: str) -> float:
    """Give the median of nine runs, in the time a run had a processor to itself.

    Other work on the machine lengthens the wait and not the start; where the system
    does not tell processor time, the wait is taken.
    """
    taken = []
    for _ in range(9):
        before, begun = os.times(), time.perf_counter()
        subprocess.run([sys.executable, *words], capture_output=True, check=True)
        waited, after = time.perf_counter() - begun, os.times()
        worked = (after[2] + after[3]) - (before[2] + before[3])
        taken.append(min(worked, waited) if worked else waited)
    return statistics.median(taken)


def test_help_comes_within_its_bar() -> None:
    assert seconds("-m", "takestats", "--help") <= 0.3


def test_import_comes_within_its_bar() -> None:
    assert seconds("-c", "import takestats") - seconds("-c", "pass") <= 0.15
