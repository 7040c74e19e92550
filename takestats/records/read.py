"""How do files become records that can be trusted?"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Mapping
from dataclasses import asdict
from pathlib import Path
from typing import Any

import numpy as np
import pandas as pd
from numpy.typing import NDArray

from takestats.errors import FileError, SettingsError
from takestats.records.changes import changes_table
from takestats.records.count_sheets import join_count_sheets, not_made, planned_only
from takestats.records.derive import NOT_RECORDED, derive_columns, derive_seasons
from takestats.records.files import read_file
from takestats.records.frame_cells import sheet_of_frame
from takestats.records.later_counts import (
    find_lines_of_later_counts,
    inherit_from_earlier_counts,
    moving_columns,
)
from takestats.records.layout_match import recognised, with_layout_of_workbooks
from takestats.records.limits import hold_rows_to_limits
from takestats.records.lines import (
    COUNT_ORDER,
    chosen_count,
    count_single_grafts,
    lines_and_counts,
)
from takestats.records.no_rows import NoRowsError
from takestats.records.odd_rows import fill_down, flag_rows_that_are_no_tray
from takestats.records.pairs import split_pairs
from takestats.records.problems import FaultLog
from takestats.records.result import Records as Records
from takestats.records.row_checks import Cells, check_rows
from takestats.records.settings import TrialSettings, read_trial, trial_of_sheet
from takestats.records.sheets import TypedTable, table_of
from takestats.records.tables import counts_table, set_aside_table, source_table, trays_table
from takestats.records.told import notes_on, refused, told_of_moving
from takestats.records.trays import (
    check_trays,
    tray_keys,
    treatment_columns,
)
from takestats.records.typed_sheet import Sheet
from takestats.records.values import converted

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

    Raises
    ------
    FileError
        When a file is missing, empty or not a table.
    SettingsError
        When a setting is unknown or cannot be used.
    RecordsError
        When a row cannot be used; ``problems`` lists every fault.

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
    """The recipe: cells, values, rules of a row, rules of a tray, lines, counts."""
    trays_recorded = settings.records.get("trays") != "none"
    try:
        typed = table_of(sheets, trays_recorded=trays_recorded, chosen=chosen)
    except NoRowsError as empty:
        raise NoRowsError(where=empty.where, trial=settings) from None
    typed.origin["row"] += shift
    log = FaultLog(typed.origin, {name: column.copy() for name, column in typed.cells.items()})
    for code, file, sheet, row, column, value, words in typed.header_faults:
        log.add_header(code, file, sheet, row + shift, column, value, **words)
    if log.any_error():
        raise refused(log.problems(), typed.origin)
    flag_rows_that_are_no_tray(typed, log)
    notes.extend(fill_down(typed, settings.records.get("fill_down", False), log))
    settings, layout, told = recognised(typed, settings)
    notes.extend(told)
    split_pairs(typed, log)
    cells = converted(typed, log, settings)
    single = typed.single
    planned = planned_only(cells, typed, str(settings.bench.get("rows") or ""))
    if single.any():
        alone = single & np.isnan(cells.number("grafted")) & ~planned & ~typed.beside
        cells.values["grafted"] = np.where(alone, 1.0, cells.number("grafted"))
        if "grafted" in typed.typed:
            log.change(np.flatnonzero(alone), "grafted", "one graft a row")
    lead = join_count_sheets(cells, typed, log, treatment_columns(cells, (), single))
    keys = _keyed(cells, single, typed, log, notes, lead, trays_recorded=trays_recorded)
    unknown = [name for name in typed.unknown if name not in typed.no_treatment]
    if trays_recorded:
        moving = moving_columns(cells, keys, log, unknown)
        unknown = [name for name in unknown if name not in moving]
        columns = treatment_columns(cells, unknown, single)
        inherit_from_earlier_counts(cells, keys, log, columns)
        find_lines_of_later_counts(cells, keys, log, columns)
        notes.extend(told_of_moving(moving))
    else:
        columns = treatment_columns(cells, unknown, single)
    as_read = Cells(dict(cells.values), cells.size)
    check_rows(cells, log, single, trays_recorded=trays_recorded)
    if trays_recorded:
        count_single_grafts(cells, keys, log, single)
        pattern = check_trays(cells, keys, log, single, columns)
    else:
        pattern = keys.tray
    problems = log.problems()
    faulty = log.faulty_rows()
    if len(faulty) and not set_aside:
        raise refused(problems, typed.origin)
    kept = np.setdiff1d(np.arange(cells.size), faulty)
    kept = np.setdiff1d(kept, not_made(planned, cells, typed))
    if len(kept) == 0:
        raise refused(problems, typed.origin, none_left=True)
    lines, counts = lines_and_counts(cells, keys, pattern, kept, columns)
    lines = derive_columns(lines, settings.classes, settings.records.get("caliper_unit"))
    count = chosen_count(counts, settings.records.get("count"))
    trays = trays_table(lines, counts, count, tuple(unknown), trays_recorded=trays_recorded)
    aside = set_aside_table(typed, log)
    notes = [*notes, *typed.notes, *notes_on(typed, trays, aside, settings, count)]
    return Records(
        table=source_table(as_read, typed, kept),
        counts=counts_table(counts, lines),
        trays=trays,
        problems=problems,
        set_aside=aside,
        changes=changes_table(typed.origin, typed.typed, as_read.values, log.whys, log.left_out()),
        notes=tuple(notes),
        trial=settings,
        sources=sources,
        count=count,
        no_trays=not trays_recorded,
        layout=layout,
    )


def _keyed(
    cells: Cells,
    single: NDArray[np.bool_],
    typed: TypedTable,
    log: FaultLog,
    notes: list[str],
    lead: NDArray[np.intp],
    *,
    trays_recorded: bool,
) -> Any:
    order = {name: i for i, name in enumerate(COUNT_ORDER)}
    count = np.array([order.get(c or "settled", 2) for c in cells.text("count")], dtype=np.intp)
    before = cells.text("season").copy()
    worked = derive_seasons(cells, count, order["settled"])
    told_before = np.flatnonzero((lead >= 0) & np.array([one is None for one in before]))
    seasons = cells.values["season"].copy()
    seasons[told_before] = seasons[lead[told_before]]
    cells.values["season"] = seasons
    if "season" in typed.typed:
        now = cells.values["season"]
        blank = np.array([season is None for season in before], dtype=bool)
        log.change(np.flatnonzero(~blank & (before != now)), "season", "one form for a season")
        log.change(np.array(worked, dtype=np.intp), "season", "worked out from the dates")
        rows = np.flatnonzero(blank & (now == NOT_RECORDED))
        log.change(rows, "season", "neither season nor date")
    if worked:
        found = sorted({cells.values["season"][i] for i in worked})
        notes.append(
            f"The season was worked out from the dates in {len(worked)} rows: {', '.join(found)}."
        )
    return tray_keys(cells, single, trays_recorded=trays_recorded)
