"""The calibration command works, keeps its pieces and goes on from them. Fast."""

from __future__ import annotations

from pathlib import Path

import pandas as pd
import pytest

pytest.importorskip("joblib", reason="the calibration command spreads its pieces with joblib")

from tests.calibration.__main__ import main
from tests.calibration.two_arms import grid_settings, two_tray_settings, unequal_settings


def run(folder: Path) -> pd.DataFrame:
    asked = ["--row", "grid", "--trials", "50", "--settings", "2", "--seed", "1"]
    asked += ["--jobs", "1", "--again", "0", "--quiet"]
    code = main([*asked, "--work", str(folder / "work"), "--out", str(folder / "out")])
    assert code == 0
    return pd.read_csv(folder / "out" / "calibration.csv")


def test_it_runs_writes_its_page_and_goes_on_from_its_pieces(tmp_path: Path) -> None:
    first = run(tmp_path)
    pieces = sorted((tmp_path / "work").glob("*.json"))
    made = [piece.stat().st_mtime_ns for piece in pieces]
    assert len(first) == 2
    assert first["gap_coverage"].between(0.8, 1.0).all()
    assert "not met" in (tmp_path / "out" / "calibration.md").read_text("utf-8")
    second = run(tmp_path)
    pd.testing.assert_frame_equal(first, second)
    assert [piece.stat().st_mtime_ns for piece in pieces] == made


def test_the_settings_are_those_that_were_promised() -> None:
    assert len(grid_settings()) == 216
    assert {s.trays_a for s in two_tray_settings()} == {2}
    pairs = {(s.trays_a, s.trays_b) for s in unequal_settings()}
    assert pairs == {(5, 5), (10, 10), (20, 20), (3, 15), (15, 3)}
