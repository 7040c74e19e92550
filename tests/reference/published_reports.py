"""The season report of each published trial, worked out once for every test that reads it."""

from __future__ import annotations

from functools import cache
from pathlib import Path

import takestats as ts
from takestats.pages.parts import SeasonReport
from takestats.pages.season_page import season_report

PUBLISHED = Path(__file__).parent / "published"


@cache
def records_of(name: str) -> ts.Records:
    """The trial's records, by the name of its file."""
    return ts.read_records(PUBLISHED / f"{name}.csv", trial=PUBLISHED / f"{name}.toml")


@cache
def report_of(name: str) -> SeasonReport:
    """What `takestats report` makes of them."""
    return season_report(records_of(name))
