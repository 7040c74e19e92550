"""The demo seasons counted again with the standard library: no code of the package."""

from __future__ import annotations

import csv
from functools import cache
from pathlib import Path

import takestats as ts

DEMO = Path(__file__).parents[2] / "datasets_demo" / "quern_hollow"
FILES = sorted(DEMO.glob("season_*.csv"))


@cache
def demo_records() -> ts.Records:
    return ts.read_records(FILES, trial=DEMO / "trial.toml")


@cache
def demo_rows() -> list[dict[str, str]]:
    rows: list[dict[str, str]] = []
    for path in FILES:
        rows += csv.DictReader(path.read_text(encoding="utf-8").splitlines()[1:])
    return rows


def counts_of(season: str, count: str, **levels: str) -> dict[str, dict[str, str]]:
    """The rows of one count of the grafts, by tray."""
    return {
        row["tray"]: row
        for row in demo_rows()
        if row["season"] == season
        and row["count"] == count
        and row.get("made_by") != "cutting"
        and row["taken"]
        and all(row[name] == level for name, level in levels.items())
    }
