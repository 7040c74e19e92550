"""How do files become records that can be trusted?"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Mapping
from dataclasses import asdict
from pathlib import Path
from typing import Any

import pandas as pd

from takestats.errors import FileError, SettingsError
from takestats.records.files import may_be_large, read_file
from takestats.records.frame_cells import sheet_of_frame
from takestats.records.layout_match import with_layout_of_workbooks
from takestats.records.limits import hold_rows_to_limits
from takestats.records.no_rows import NoRowsError
from takestats.records.recipe import records_of
from takestats.records.result import Records as Records
from takestats.records.settings import TrialSettings, read_trial, trial_of_sheet
from takestats.records.sheets import table_of
from takestats.records.typed_sheet import Sheet

TrialArgument = str | Path | Mapping[str, Any] | TrialSettings | None


def read_records(
    path_or_paths: str | Path | Iterable[str | Path],
    *,
    trial: TrialArgument = None,
    sheet: str | None = None,
    set_aside: bool = False,
) -> Records:
    r"""What do my grafting records say, and is anything wrong with them?

    Parameters
    ----------
    path_or_paths : str, Path or several
        One or several .csv, .tsv, .xlsx or .parquet files.
    trial : path, dict or TrialSettings, optional
        The settings; without them the sheet ``trial`` of a workbook is used.
    sheet : str, optional
        The one sheet of a workbook to read; else all sheets of one shape.
    set_aside : bool
        Leave faulty rows out instead of stopping; they are listed in
        ``set_aside`` and named in ``notes``.

    Returns
    -------
    Records

    Notes
    -----
    A large file with one row per graft (from 1 MB of .csv or .tsv, or 50,000 rows of
    .parquet; by itself, not among several) is read block by block, and rows of one
    tray that say the same are gathered before the rules are held against them. Its
    ``table`` then holds lines of trays in place of grafts. Where a rule would ask or
    refuse anything, the file is read row by row, and every fault is told at its cell.

    Raises
    ------
    FileError
        When a file is missing, empty or not a table.
    SettingsError
        When a setting is unknown or cannot be used.
    RecordsError
        When a row cannot be used; ``problems`` lists every fault.

    References
    ----------
    The rules for rows are common practice, no source; where a limit has one it stands in
    ``reports/columns.md``.

    Examples
    --------
    >>> import pathlib, tempfile
    >>> path = pathlib.Path(tempfile.mkdtemp()) / "bench.csv"
    >>> _ = path.write_text("Tray,Method,Grafted,Taken\nT1,Cleft graft,20,17\n")
    >>> read_records(path).trays[["tray_id", "method", "taken"]].values.tolist()
    [['T1', 'cleft', 17.0]]
    """
    paths = _paths(path_or_paths)
    labels = _labels(paths)
    if len(paths) == 1 and sheet is None and may_be_large(paths[0]):
        from takestats.records.large import read_large

        large = read_large(paths[0], labels[0], _settings(trial))
        if large is not None:
            return large
    contents = [read_file(path, label, sheet) for path, label in zip(paths, labels, strict=True)]
    twice = [a.file for i, a in enumerate(contents) if a.sha256 in {b.sha256 for b in contents[:i]}]
    if twice:
        raise FileError(
            where=twice[0],
            what="the same file is named twice",
            rule="Every tray is counted once.",
            next_step="Leave one of the two out.",
        )
    settings = _settings(trial)
    beside = {content.file: content.settings for content in contents if content.settings}
    if trial is None and beside:
        settings = _one_trial(beside)
    sheets = [one for content in contents for one in content.sheets]
    notes = [note for content in contents for note in content.notes]
    if trial is not None:
        notes.extend(
            f"{file}: its sheet of settings was not used, because other settings were given."
            for file in beside
        )
        settings, told = with_layout_of_workbooks(settings, beside)
        notes.extend(told)
    sources = tuple((content.file, content.sha256) for content in contents)
    return _records(sheets, settings, notes, sources, set_aside=set_aside, chosen=sheet is not None)


def records_from_frame(
    frame: pd.DataFrame, *, trial: TrialArgument = None, set_aside: bool = False
) -> Records:
    """What do records say that are already in a data frame?

    Parameters
    ----------
    frame : pandas.DataFrame
        One row per tray, count or graft; ``row`` in faults counts from 1.
    trial, set_aside
        As for :func:`read_records`.

    Returns
    -------
    Records

    Raises
    ------
    RecordsError, FileError, SettingsError
        As for :func:`read_records`.

    Notes
    -----
    Cells are read as they would be in a file, so a date or a number may be text. A row has
    no file to point at: a fault names the row counted from 1, whatever the index says. A
    value that a library has already turned (a fraction made a date) cannot be turned back.

    References
    ----------
    As for :func:`read_records`: common practice, no source, but for the limits that name one.

    Examples
    --------
    >>> frame = pd.DataFrame({"tray": ["A", "B"], "grafted": [20, 20], "taken": [18, 15]})
    >>> records_from_frame(frame).trays["taken"].tolist()
    [18.0, 15.0]
    """
    one = sheet_of_frame(frame, "data frame")
    hold_rows_to_limits(one.rows, one.place)
    return _records([one], _settings(trial), [], (), set_aside=set_aside, chosen=True, shift=-1)


def _paths(given: str | Path | Iterable[str | Path]) -> list[Path]:
    paths = [Path(given)] if isinstance(given, str | Path) else [Path(p) for p in given]
    if not paths:
        raise FileError(
            where="files",
            what="no file was named",
            rule="Records are read from at least one file.",
            next_step="Name a .csv, .tsv, .xlsx or .parquet file.",
        )
    return paths


def _labels(paths: list[Path]) -> list[str]:
    """File names; the folder is added only where two files share a name."""
    times = Counter(path.name for path in paths)
    return [p.name if times[p.name] == 1 else f"{p.parent.name}/{p.name}" for p in paths]


def _one_trial(beside: Mapping[str, list[list[Any]]]) -> TrialSettings:
    """The settings of the workbooks, which must agree where there are several."""
    read = [trial_of_sheet(rows, f"{file}, sheet trial") for file, rows in beside.items()]
    for other in read[1:]:
        if {**asdict(other), "file": ""} != {**asdict(read[0]), "file": ""}:
            raise SettingsError(
                where=f"{read[0].file} and {other.file}",
                what="the two sheets of settings differ",
                rule="Records that are read together have one set of settings.",
                next_step="Make the two agree, or name one file of settings with trial.",
            )
    return read[0]


def _settings(trial: TrialArgument) -> TrialSettings:
    if trial is None:
        return TrialSettings()
    return trial if isinstance(trial, TrialSettings) else read_trial(trial)


def _records(
    sheets: list[Sheet],
    settings: TrialSettings,
    notes: list[str],
    sources: tuple[tuple[str, str], ...],
    *,
    set_aside: bool,
    chosen: bool,
    shift: int = 0,
) -> Records:
    """All sheets as one table of cells, and the records that follow from it."""
    trays_recorded = settings.records.get("trays") != "none"
    try:
        typed = table_of(sheets, trays_recorded=trays_recorded, chosen=chosen)
    except NoRowsError as empty:
        raise NoRowsError(where=empty.where, trial=settings) from None
    typed.origin["row"] += shift
    return records_of(typed, settings, notes, sources, set_aside=set_aside, shift=shift)
