"""How do typed cells become records: which rules are held against them, in which order?"""

from __future__ import annotations

from typing import Any

import numpy as np
from numpy.typing import NDArray

from takestats.records.changes import changes_table
from takestats.records.count_sheets import join_count_sheets, not_made, planned_only
from takestats.records.derive import NOT_RECORDED, derive_columns, derive_seasons
from takestats.records.later_counts import (
    find_lines_of_later_counts,
    inherit_from_earlier_counts,
    moving_columns,
)
from takestats.records.layout_match import recognised
from takestats.records.lines import (
    COUNT_ORDER,
    chosen_count,
    count_single_grafts,
    lines_and_counts,
)
from takestats.records.odd_rows import fill_down, flag_rows_that_are_no_tray
from takestats.records.pairs import split_pairs
from takestats.records.problems import FaultLog
from takestats.records.result import Records
from takestats.records.row_checks import Cells, check_rows
from takestats.records.settings import TrialSettings
from takestats.records.sheets import TypedTable
from takestats.records.tables import counts_table, set_aside_table, source_table, trays_table
from takestats.records.told import notes_on, refused, told_of_moving
from takestats.records.trays import check_trays, tray_keys, treatment_columns
from takestats.records.values import converted


def records_of(
    typed: TypedTable,
    settings: TrialSettings,
    notes: list[str],
    sources: tuple[tuple[str, str], ...],
    *,
    set_aside: bool,
    shift: int = 0,
    rows_behind: NDArray[np.int64] | None = None,
) -> Records:
    """The recipe: cells, values, rules of a row, rules of a tray, lines, counts.

    ``rows_behind`` says how many rows of the file each row stands for, where rows that
    say the same were gathered beforehand; it is used in what is told of them.
    """
    trays_recorded = settings.records.get("trays") != "none"
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
    cells = converted(typed, log, settings, rows_behind)
    single = typed.single
    planned = planned_only(cells, typed, str(settings.bench.get("rows") or ""))
    if single.any():
        alone = single & np.isnan(cells.number("grafted")) & ~planned & ~typed.beside
        cells.values["grafted"] = np.where(alone, 1.0, cells.number("grafted"))
        if "grafted" in typed.typed:
            log.change(np.flatnonzero(alone), "grafted", "one graft a row")
    lead = join_count_sheets(cells, typed, log, treatment_columns(cells, (), single))
    keys = _keyed(
        cells,
        single,
        typed,
        log,
        notes,
        lead,
        trays_recorded=trays_recorded,
        rows_behind=rows_behind,
    )
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
    rows_behind: NDArray[np.int64] | None,
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
        number = len(worked) if rows_behind is None else int(rows_behind[worked].sum())
        notes.append(
            f"The season was worked out from the dates in {number} rows: {', '.join(found)}."
        )
    return tray_keys(cells, single, trays_recorded=trays_recorded)
