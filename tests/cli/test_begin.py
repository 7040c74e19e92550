"""Is `python -m takestats` the same program as `takestats`: its name, its words, its exit codes?

The console script is checked against it in empty environments by .ci/installed; here the module is
held against the function behind both.
"""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

import pytest

from takestats.cli.app import main


@pytest.mark.parametrize(
    ("words", "code"),
    [
        (["--help"], 0),
        (["report", "--help"], 0),
        (["chek"], 2),
        (["report", "no_such_file.csv"], 2),
        (["start", "in_the_way/below", "--season", "--no-questions"], 1),
    ],
)
def test_the_module_ends_and_speaks_as_the_command(
    words: list[str],
    code: int,
    tmp_path: Path,
    monkeypatch: pytest.MonkeyPatch,
    capsys: pytest.CaptureFixture[str],
) -> None:
    monkeypatch.chdir(tmp_path)
    monkeypatch.setenv("PYTHONPATH", str(Path(__file__).parents[2]))
    monkeypatch.setenv("COLUMNS", "80")
    (tmp_path / "in_the_way").touch()
    module = subprocess.run(
        [sys.executable, "-m", "takestats", *words], capture_output=True, text=True
    )
    assert module.returncode == code
    assert main(words) == code
    assert (module.stdout, module.stderr) == tuple(capsys.readouterr())


def test_help_calls_the_module_by_the_name_of_the_command() -> None:
    done = subprocess.run(
        [sys.executable, "-m", "takestats", "--help"], capture_output=True, text=True, check=True
    )
    assert done.stdout.split()[:2] == ["Usage:", "takestats"]
    assert "__main__" not in done.stdout


def test_a_run_looks_for_garbage_seldom_and_a_library_does_not_meddle() -> None:
    # Looking 778 times took .4 to .5 of the 10 s of processor time of a season report.
    begun = "import sys, takestats.cli.begin as run\nsys.argv[1:] = ['--version']\n"
    begun += "try: run.begin()\nexcept SystemExit: pass\n"
    look = "import gc; print(gc.get_threshold()[0])"
    looks = [
        int(subprocess.check_output([sys.executable, "-c", code + look], text=True).split()[-1])
        for code in (begun, "import takestats\n")
    ]
    assert looks[0] >= 50_000 > looks[1]
