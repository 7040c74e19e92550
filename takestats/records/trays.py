"""Which rows tell of the same tray, and do they agree?"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np
import pandas as pd
from numpy.typing import NDArray

from takestats.records.columns import (
    BY_NAME,
    PLACE_COLUMNS,
    TREATMENT_COLUMNS,
)
from takestats.records.problems import FaultLog
from takestats.records.row_checks import Cells
from takestats.records.words import COUNT_NAMES

Values = NDArray[Any]
Codes = NDArray[np.intp]
Mask = NDArray[np.bool_]


@dataclass(eq=False)
class TrayKeys:
    """Numbers that say which rows belong together.

    ``tray`` is one number per tray (season, trial and tray), ``unit`` one per
    tray or single graft, ``count`` the order of the count in time.
    """

    tray: Codes
    unit: Codes
    count: Codes


def codes_of(columns: list[Values]) -> Codes:
    """One number for each combination of values; blanks count as a value."""
    out = np.zeros(len(columns[0]), dtype=np.intp)
    for column in columns:
        codes = np.asarray(pd.factorize(column)[0], dtype=np.intp) + 1
        mixed = out * np.intp(codes.max(initial=0) + 1) + codes
        out = np.asarray(pd.factorize(mixed)[0], dtype=np.intp)
    return out


def tray_keys(cells: Cells, single: Mask, *, trays_recorded: bool) -> TrayKeys:
    """Number the trays, the units and the counts."""
    size = cells.size
    order = {name: i for i, name in enumerate(COUNT_NAMES)}
    settled = order["settled"]
    count = np.array(
        [settled if name is None else order[name] for name in cells.text("count")], dtype=np.intp
    )
    if trays_recorded:
        tray = codes_of([cells.text("season"), cells.text("trial"), cells.text("tray")])
    else:
        tray = np.arange(size, dtype=np.intp)
    grafts = cells.text("graft").copy()
    grafts[~single] = None
    unnamed = single & np.array([g is None for g in grafts], dtype=bool)
    own = np.where(unnamed, np.arange(size), -1)
    return TrayKeys(tray, codes_of([tray, grafts, own]), count)


def treatment_columns(cells: Cells, unknown: tuple[str, ...]) -> list[str]:
    """The columns that make two rows of one tray different lines."""
    known = [*PLACE_COLUMNS, "tray_size", *TREATMENT_COLUMNS]
    return [name for name in (*known, *unknown) if name in cells.values]


def inherit_from_earlier_counts(
    cells: Cells, keys: TrayKeys, log: FaultLog, columns: list[str]
) -> None:
    """A tray with one row at each count keeps its treatment from count to count.

    A cell left blank at a later count is filled from the earlier one (that is
    one tray told twice, not a blank that means something); a cell that says
    something else is a fault.
    """
    usable = log.usable()
    at = np.flatnonzero(usable)
    if len(at) == 0:
        return
    per_count = pd.Series(1, index=at).groupby([keys.unit[at], keys.count[at]]).transform("size")
    widest = per_count.groupby(keys.unit[at]).transform("max").to_numpy()
    rows_of_unit = per_count.groupby(keys.unit[at]).transform("size").to_numpy()
    at = at[(widest == 1) & (rows_of_unit > 1)]
    if len(at) == 0:
        return
    at = at[np.lexsort((keys.count[at], keys.unit[at]))]
    units = keys.unit[at]
    for name in [*columns, "grafted"]:
        if name not in cells.values:
            continue
        column = pd.Series(cells.values[name][at])
        first = column.groupby(units).transform("first")
        blank = (column.isna() & first.notna()).to_numpy()
        if blank.any():
            cells.values[name] = cells.values[name].copy()
            cells.values[name][at[blank]] = first.to_numpy()[blank]
            log.change(at[blank], name, "the tray's other count")
        if name in PLACE_COLUMNS:
            continue  # told by the rule of the two places
        differs = (column.notna() & (column != first)).to_numpy() & log.usable(name)[at]
        if not differs.any():
            continue
        lead = pd.Series(np.where(column.notna(), at, -1)).replace(-1, np.nan)
        lead_row = lead.groupby(units).transform("first").to_numpy()[differs].astype(np.intp)
        code = "grafted_changed" if name == "grafted" else "treatment_changed"
        rows = at[differs]
        each = {
            "first": log.names_of(lead_row, rows),
            "other": first.to_numpy()[differs].tolist(),
        }
        log.add(code, rows, name, each=each)


def check_trays(
    cells: Cells, keys: TrayKeys, log: FaultLog, single: Mask, columns: list[str]
) -> Codes:
    """Find trays in two places and rows told twice; return the line of each row."""
    _check_places(cells, keys, log)
    pattern = codes_of([keys.tray, *[cells.values[name] for name in columns]])
    usable = log.usable()
    rows = np.flatnonzero(single & usable & np.array([g is not None for g in cells.text("graft")]))
    _check_twice(cells, log, rows, [keys.unit, keys.count], "same_graft", "graft")
    rows = np.flatnonzero(~single & usable)
    _check_twice(cells, log, rows, [pattern, keys.count], "same_row", "tray")
    _check_rises(cells, log, pattern, keys, rows)
    _check_sizes(cells, keys, log, single)
    return pattern


def _check_places(cells: Cells, keys: TrayKeys, log: FaultLog) -> None:
    for name in PLACE_COLUMNS:
        if name not in cells.values:
            continue
        at = np.flatnonzero(cells.given(name) & log.usable(name, "tray"))
        if len(at) == 0:
            continue
        place = pd.Series(cells.text(name)[at])
        trays = keys.tray[at]
        grouped = place.groupby(trays)
        first = grouped.transform("first")
        differs = (place != first).to_numpy()
        if not differs.any():
            continue
        lead = pd.Series(at).groupby(trays).transform("first").to_numpy()[differs]
        rows = at[differs]
        everywhere = np.flatnonzero(np.isin(keys.tray, keys.tray[rows]) & log.usable())
        each = {
            "first": log.names_of(lead, rows),
            "other": first.to_numpy()[differs].tolist(),
        }
        log.add("two_places", rows, name, affected=everywhere, each=each)


def _check_sizes(cells: Cells, keys: TrayKeys, log: FaultLog, single: Mask) -> None:
    if "tray_size" not in cells.values:
        return
    grafted = np.where(single, 1.0, cells.number("grafted"))
    sound = log.usable("grafted", "tray_size") & ~np.isnan(cells.number("tray_size"))
    sound[log.faulty_rows()] = False
    at = np.flatnonzero(sound)
    if len(at) == 0:
        return
    made = pd.Series(grafted[at]).groupby([keys.tray[at], keys.count[at]]).transform("sum")
    over = (made > cells.number("tray_size")[at]).to_numpy()
    rows = at[over]
    first = ~pd.Series(keys.tray[rows]).duplicated().to_numpy()
    rows, total = rows[first], made.to_numpy()[over][first]
    each = {"total": total, "cells": cells.number("tray_size")[rows]}
    log.add("more_than_tray", rows, "grafted", each=each)


def _check_twice(
    cells: Cells, log: FaultLog, rows: Codes, keys: list[Codes], code: str, column: str
) -> None:
    if len(rows) == 0 or column not in cells.values:
        return
    key = codes_of([k[rows] for k in keys])
    again = pd.Series(key).duplicated().to_numpy()
    if not again.any():
        return
    lead = pd.Series(rows).groupby(key).transform("first").to_numpy()
    counts = [n for n in BY_NAME if BY_NAME[n].role in ("count", "outcome") and n in cells.values]
    told = codes_of([cells.values[name][rows] for name in counts])
    lead_told = pd.Series(told).groupby(key).transform("first").to_numpy()
    for same in (True, False):
        picked = again & ((told == lead_told) == same)
        at = rows[picked]
        affected = at if same else np.unique(np.concatenate([at, lead[picked]]))
        name = code if same or code == "same_graft" else f"{code}_other_counts"
        each = {"first": log.names_of(lead[picked], at)}
        log.add(name, at, column, affected=affected, each=each)


def _check_rises(cells: Cells, log: FaultLog, pattern: Codes, keys: TrayKeys, rows: Codes) -> None:
    rows = rows[~np.isnan(cells.number("taken")[rows]) & log.usable("taken", "grafted")[rows]]
    if len(rows) == 0:
        return
    rows = rows[np.lexsort((keys.count[rows], pattern[rows]))]
    taken = pd.Series(cells.number("taken")[rows])
    before = taken.groupby(pattern[rows]).shift()
    rose = rows[(taken > before).to_numpy()]
    log.add("alive_rose", rose, "taken")
