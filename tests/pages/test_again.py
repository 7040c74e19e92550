"""Can somebody else make the page again from what it tells?"""

from __future__ import annotations

import hashlib
import shlex
from pathlib import Path

import pandas as pd
import pytest

from takestats.cli.app import main
from takestats.pages.parts import Cells, SeasonReport
from tests.pages.small_seasons import rows

TRIAL = 'invented = true\nseed = 1\n[compare]\nfactors = ["method", "scion_wood"]\n'


def told(report: SeasonReport) -> dict[str, str]:
    section = next(section for section in report.sections if section.key == "again")
    cells = next(block for block in section.blocks if isinstance(block, Cells))
    return {row[0]: row[1] for row in cells.rows}


def test_records_from_python_have_no_command(small_report: SeasonReport) -> None:
    said = told(small_report)
    assert said["command"] == "none: the records came from a table in Python"
    assert {"takestats", "Python", "numpy", "pandas", "scipy", "statsmodels", "matplotlib"} <= set(
        said
    )
    assert said["seed"] == "1"
    assert said["setting compare, factors"] == "method, scion_wood"


def test_the_command_on_the_page_makes_the_same_page(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    words = ["compare", "--by", "method", "--between", "side veneer", "cleft"]
    words += ["--within", "scion_wood"]
    monkeypatch.chdir(tmp_path)
    pd.DataFrame(rows()).to_csv("bench one.csv", index=False)
    Path("trial.toml").write_text(TRIAL, encoding="utf-8")
    first = [words[0], "bench one.csv", *words[1:], "--trial", "trial.toml", "--out", "one"]
    assert main(first) == 0
    page = next(Path("one").glob("*.html"))
    text = page.read_text("utf-8").replace("&#39;", "'").replace("<wbr>", "")
    for name in ("bench one.csv", "trial.toml"):
        assert hashlib.sha256(Path(name).read_bytes()).hexdigest() in text
    start = text.index("takestats ", text.index("command</th>"))
    command = shlex.split(text[start : text.index("</td>", start)])
    assert command[0] == "takestats"
    assert main([*command[1:], "--out", "two"]) == 0
    made = {p.relative_to("one"): p.read_bytes() for p in Path("one").rglob("*") if p.is_file()}
    again = {p.relative_to("two"): p.read_bytes() for p in Path("two").rglob("*") if p.is_file()}
    assert made == again
    kinds = {path.suffix for path in made}
    assert kinds == {".html", ".xlsx", ".csv", ".svg", ".png", ".json"}  # .json: the own files
