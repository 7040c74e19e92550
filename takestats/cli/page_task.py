"""How does a command make a page and say what it shows?"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from functools import partial
from importlib import import_module
from pathlib import Path
from typing import TYPE_CHECKING

import typer

from takestats.cli.progress import working
from takestats.cli.telling import writing_into
from takestats.wording.shown import shown

if TYPE_CHECKING:
    from takestats.pages.parts import SeasonReport
    from takestats.pages.studio import Studio
    from takestats.records.result import Records

Say = Callable[[str], None]


def read_and_get_ready(
    files: Sequence[str], trial: Path | None, *, set_aside: bool = False
) -> tuple[Records, Studio]:
    """Read the records, while what draws the charts and what answers the page are loaded.

    Loading alone takes longer than reading a season, so that it is done on both cores. What
    keeps the tables is loaded before the reader is split off: both need it, once is enough.
    """
    from takestats.models.side_by_side import beside
    from takestats.pages.studio import Studio

    studio = Studio(ahead=True)
    import_module("pandas")
    waiting = beside(partial(_read, files, trial, set_aside))
    import_module("takestats.pages.season_page")
    return waiting(), studio


def _read(files: Sequence[str], trial: Path | None, set_aside: bool) -> Records:
    from takestats.records.read import read_records

    return read_records(files, trial=trial, set_aside=set_aside)


def make_season_page(records: Records, folder: Path, studio: Studio, *, as_json: bool) -> None:
    """Compute the season report, write its page and tables, and read it out."""
    from takestats.pages.season_page import season_report

    with working("Making the season page") as say:
        report = season_report(records, progress=say, studio=studio)
        paths = _write(report, folder, say, studio)
    speak(records, report, paths, as_json=as_json)


def _write(
    report: SeasonReport, folder: Path, say: Say, studio: Studio | None = None
) -> list[Path]:
    from takestats.pages.season_page import write_season

    say("writing the page")
    with writing_into(folder):
        return write_season(report, folder, studio)


def speak(records: Records, report: SeasonReport, paths: list[Path], *, as_json: bool) -> None:
    """Print the report's sentences and where its page stands, or all of it as JSON."""
    if as_json:
        from takestats.cli.as_json import json_text
        from takestats.cli.report_json import report_parts

        typer.echo(json_text(report_parts(records, report, paths)))
        return
    if report.banner:
        typer.echo(shown(report.banner) + "\n")
    for sentence in report.sentences:
        typer.echo(f"- {shown(sentence)}")
    typer.echo("")
    tell_written(paths)


def tell_written(paths: Sequence[Path]) -> None:
    """Say where the page, its tables and its charts stand."""
    typer.echo(f"Page:   {paths[0]}")
    tables = [path for path in paths if path.suffix == ".csv"]
    for book in (path for path in paths if path.suffix == ".xlsx"):
        beside = f", and as CSV in {tables[0].parent}" if tables else ""
        typer.echo(f"Tables: {book}{beside}")
    figures = [path for path in paths if path.suffix == ".png"]
    if figures:
        typer.echo(f"Charts: {figures[0].parent} ({len(figures):,}, each as SVG and PNG)")


def make_comparison(
    records: Records,
    folder: Path,
    by: str,
    *,
    between: tuple[str, str] | None,
    within: str | None = None,
    as_json: bool,
) -> None:
    """Compare the levels of one column, write the page and tables, and read it out."""
    from takestats.pages.comparison_page import comparison_report

    with working("Comparing") as say:
        report = comparison_report(records, by, between=between, within=within, progress=say)
        paths = _write(report, folder, say)
    speak(records, report, paths, as_json=as_json)
