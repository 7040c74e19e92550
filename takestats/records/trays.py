"""Which rows tell of the same tray, and do they agree?"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Any

import numpy as np
import pandas as pd
from numpy.typing import NDArray

from takestats.records.columns import BY_NAME, PLACE_COLUMNS, TREATMENT_COLUMNS
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


def treatment_columns(cells: Cells, unknown: Iterable[str], single: Mask) -> list[str]:
    """The columns that make two rows of one tray different lines.

    In a record of single grafts the position is that of the graft in its tray, which
    was not given to it as a treatment.
    """
    known = [*PLACE_COLUMNS, "tray_size", *TREATMENT_COLUMNS]
    names = [name for name in (*known, *unknown) if name in cells.values]
    return [name for name in names if not (name == "position" and single.any())]


def check_trays(
    cells: Cells, keys: TrayKeys, log: FaultLog, single: Mask, columns: list[str]
) -> Codes:
    """Find trays in two places and rows told twice; return the line of each row."""
    _check_places(cells, keys, log, single)
    pattern = codes_of([keys.tray, *[cells.values[name] for name in columns]])
    usable = log.usable("count", "tray") & cells.given("tray")
    rows = np.flatnonzero(single & usable & np.array([g is not None for g in cells.text("graft")]))
    _check_twice(cells, log, rows, [keys.unit, keys.count], "same_graft", "graft")
    rows = np.flatnonzero(~single & usable)
    _check_twice(cells, log, rows, [pattern, keys.count], "same_row", "tray")
    _check_rises(cells, log, pattern, keys, rows)
    grafts = np.flatnonzero(single & usable)
    _check_rises(cells, log, keys.unit, keys, grafts)
    _check_later_twice(cells, log, pattern, keys, rows)
    _check_sizes(cells, keys, log, single)
    return pattern


def _check_places(cells: Cells, keys: TrayKeys, log: FaultLog, single: Mask) -> None:
    for name in PLACE_COLUMNS:
        if name not in cells.values:
            continue
        here = cells.given(name) & log.usable(name, "tray") & cells.given("tray")
        if name == "position":
            here &= ~single
        at = np.flatnonzero(here)
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
    misplaced = [
        row
        for row, column in log.faulty_because().items()
        if column in BY_NAME and BY_NAME[column].role in ("key", "place")
    ]
    sound[misplaced] = False
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
    same = taken.groupby(pattern[rows])
    counts = pd.Series(keys.count[rows])
    later = counts > counts.groupby(pattern[rows]).shift()
    rose = rows[((taken > same.shift()) & later).to_numpy()]
    log.add("alive_rose", rose, "taken")


def _check_later_twice(
    cells: Cells, log: FaultLog, pattern: Codes, keys: TrayKeys, rows: Codes
) -> None:
    """A later count told both beside the settled one and in a row of its own must agree."""
    beside = rows[~np.isnan(cells.number("alive_later")[rows])]
    own = rows[keys.count[rows] == list(COUNT_NAMES).index("later")]
    if len(beside) == 0 or len(own) == 0:
        return
    row_of = pd.Series(own, index=pattern[own])
    row_of = row_of[~row_of.index.duplicated()].reindex(pattern[beside])
    there = row_of.notna().to_numpy()
    lead, beside = row_of[there].to_numpy(dtype=np.intp), beside[there]
    number = cells.number("taken")
    differs = (number[lead] != cells.number("alive_later")[beside]) & log.usable("alive_later")[
        beside
    ]
    own, beside = lead[differs], beside[differs]
    each = {
        "first": log.names_of(beside, own),
        "other": cells.number("alive_later")[beside],
    }
    log.add("later_twice", own, "taken", each=each)
