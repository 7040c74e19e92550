"""What did the season show? One page that stands on its own, with its tables beside it."""

from __future__ import annotations

import os
from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING

from takestats.models.progress import silent
from takestats.pages.asked import Trial, asked, with_trial
from takestats.pages.assembled import assembled
from takestats.pages.csv_tables import csv_bytes
from takestats.pages.factors import DEFAULT_FACTORS
from takestats.pages.figures import files_of
from takestats.pages.files import write_whole
from takestats.pages.gather import gather
from takestats.pages.parts import SeasonReport
from takestats.pages.render import page_bytes
from takestats.pages.studio import Studio
from takestats.pages.tables_workbook import tables_workbook
from takestats.pages.topics import season_topics
from takestats.wording.sections import chart_marker, season_title

if TYPE_CHECKING:
    from takestats.records.result import Records


def season_report(
    records: Records,
    *,
    trial: Trial = None,
    progress: Callable[[str], None] | None = None,
    studio: Studio | None = None,
) -> SeasonReport:
    """What did the season show, before it is written?

    The newest season is analysed; earlier ones stand beside it as history and are never
    added to it. Factors are those of the settings, else method, combination, scion wood
    and caliper class, as far as the layout carries them.

    Parameters
    ----------
    records : Records
        From :func:`takestats.read_records`.
    trial : path, dict or TrialSettings, optional
        Other settings than those the records were read with.
    progress : callable, optional
        Told in a few words what is being done.
    studio : Studio, optional
        Draws the charts of the page; it begins while the answers are worked out.

    Returns
    -------
    SeasonReport
        ``sentences`` for the bench, ``sections`` of the page, ``tables`` at full precision.

    Raises
    ------
    DesignError
        When there is nothing to analyse, for instance no counted tray.
    """
    say = progress or silent
    known = with_trial(records, trial)
    found = gather(known, asked(known.trial).factors or DEFAULT_FACTORS, studio=studio, say=say)
    topics = season_topics(found, chart_marker(known.invented, known.banner), say, studio)
    say("putting the page together")
    title = season_title(known.trial.title, found.season)
    return assembled(found, "season_page", title, topics, command=("report",))


def season_sentences(
    records: Records,
    *,
    trial: Trial = None,
    progress: Callable[[str], None] | None = None,
) -> list[str]:
    """What does the season page say for the bench?

    Parameters
    ----------
    records, trial, progress
        As for :func:`season_report`.

    Returns
    -------
    list of str
    """
    return list(season_report(records, trial=trial, progress=progress).sentences)


def write_season(
    report: SeasonReport, folder: str | os.PathLike[str], studio: Studio | None = None
) -> list[Path]:
    """Write a computed report: the page first, its tables, and its charts as files.

    Parameters
    ----------
    report : SeasonReport
    folder : path
        Made when it is not there.
    studio : Studio, optional
        The one that has begun with the charts.

    Returns
    -------
    list of pathlib.Path
        The page, the workbook, the CSV tables, then the figures. All are written, or none.

    Raises
    ------
    FileError
        When the folder cannot be written.
    """
    # The tables first: the charts are drawn meanwhile.
    tables = {f"{report.page_name.removesuffix('_page')}_tables.xlsx": tables_workbook(report)}
    for name, table in report.tables.items():
        tables[f"tables/{name}.csv"] = csv_bytes(table, report.table_notes[name])
    drawn = (studio or Studio()).drawings(report.pictures)
    files = {f"{report.page_name}.html": page_bytes(report, drawn)} | tables | files_of(drawn)
    return write_whole(folder, files)


def write_report(
    records: Records,
    folder: str | os.PathLike[str],
    *,
    trial: Trial = None,
    progress: Callable[[str], None] | None = None,
) -> list[Path]:
    """What did the season show?

    It is written as one page, with its tables and charts beside it.

    Parameters
    ----------
    records : Records
        From :func:`takestats.read_records`.
    folder : path
        Where ``season_page.html``, ``season_tables.xlsx``, ``tables/`` and ``figures/`` go;
        made when it is not there.
    trial : path, dict or TrialSettings, optional
        Other settings than those the records were read with.
    progress : callable, optional
        Told in a few words what is being done.

    Returns
    -------
    list of pathlib.Path
        The page, the workbook, the CSV tables, then the figures. All are written, or none.

    Raises
    ------
    DesignError
        When there is nothing to analyse.
    FileError
        When the folder cannot be written.

    Notes
    -----
    The page fits what the settings name under ``compare``, or the columns it can tell apart,
    and says which it left out. A column that is blank is answered "not recorded"; with one
    tray a level the limits rest on an assumed range of how much trays differ, and the page
    says so. Differences that were not drawn by lot are told as seen together.

    References
    ----------
    Each table names its method; the sources stand in the functions that make them, as
    :func:`takestats.take_rates` and :func:`takestats.differences`.

    Examples
    --------
    >>> import tempfile
    >>> import pandas as pd
    >>> import takestats as ts
    >>> bench = pd.DataFrame({"tray": ["A", "B", "C"], "grafted": 30, "taken": [22, 28, 25]})
    >>> with tempfile.TemporaryDirectory() as folder:
    ...     [path.name for path in ts.write_report(ts.records_from_frame(bench), folder)][:2]
    ['season_page.html', 'season_tables.xlsx']
    """
    report = season_report(records, trial=trial, progress=progress)
    if progress is not None:
        progress("writing the page")
    return write_season(report, folder)
