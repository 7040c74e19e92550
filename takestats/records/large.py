"""How is a file of millions of single grafts read without looking at every cell in turn?

Rows of one tray that say the same are gathered first, and the rules of the ordinary way
are held against one row of each kind; the numbers of grafts are put in afterwards. Where
a rule would say anything of a cell (but that a word is the nursery's own), or anything is
in doubt, nothing is given back, and the ordinary way reads the whole file and tells every
fault at its cell.
"""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path
from typing import Any

import numpy as np
import pandas as pd
import pyarrow as pa
from numpy.typing import NDArray

from takestats.errors import TakeError
from takestats.records.columns import COLUMNS, PLACE_COLUMNS
from takestats.records.derive import tray_ids
from takestats.records.frame_cells import typed_cells
from takestats.records.graft_blocks import DoubtError, Whole, mixed
from takestats.records.graft_files import GraftFile, read_grafts
from takestats.records.graft_groups import Groups, check_grafts, first_places, groups_of
from takestats.records.recipe import records_of
from takestats.records.result import Records
from takestats.records.settings import TrialSettings
from takestats.records.sheets import TypedTable, table_of
from takestats.records.typed_sheet import Sheet
from takestats.wording.faults import FAULTS
from takestats.wording.large import gathered_note

_COUNTS = ("grafted", "taken")
_PARTS = ("missing", "understock_dead")
_BELOW_HEADER = 2
_ASKED_ONCE = [FAULTS[code].rule for code in ("own_method", "short_name")]
"""What is asked once for each word, at its first row, which is the first row of a kind."""


def read_large(path: Path, label: str, settings: TrialSettings) -> Records | None:
    """Read a large file of single grafts; None where the ordinary way has to.

    Parameters
    ----------
    path : Path
    label : str
        How the file is named in tables and notes.
    settings : TrialSettings

    Returns
    -------
    Records or None
        As the ordinary way gives them, but for ``table``, which holds one row for each
        line of a tray, at its first row in the file.
    """
    told = settings.records
    if told.get("trays") == "none" or told.get("fill_down") or settings.bench.get("layout"):
        return None
    try:
        file = read_grafts(path)
        return None if file is None else _records(file, label, settings)
    except (DoubtError, TakeError):
        return None


def _records(file: GraftFile, label: str, settings: TrialSettings) -> Records:
    groups = groups_of(file)
    typed = _one_of_each(file, groups, label)
    behind = np.bincount(groups.profile, weights=groups.rows).astype(np.int64)
    sources = ((label, file.sha256),)
    small = records_of(typed, settings, [], sources, set_aside=False, rows_behind=behind)
    if not small.problems["rule"].isin(_ASKED_ONCE).all():
        raise DoubtError("something to be told of a cell")
    _check_parts(groups, small)
    key, line = _lines(groups, small, typed)
    check_grafts(file.blocks, groups.of_block, key)
    at = first_places(line)
    lead = groups.profile[at]
    counts = _counts(groups, small, line)
    trays = _of_text(groups.trays, groups.tray[at])
    text = gathered_note(label, int(groups.rows.sum()), len(at))
    return replace(
        small,
        table=_table(small, lead, counts, trays, groups.first[at], file),
        counts=_put(small.counts, lead, {**counts, "tray": trays, "line": np.arange(len(at))}),
        trays=_trays(small, lead, counts, trays),
        changes=_changes(small, groups, file),
        notes=(*small.notes, text),
    )


# --- one row of each kind, held against every rule ------------------------------------------


def _one_of_each(file: GraftFile, groups: Groups, label: str) -> TypedTable:
    """The first row of each profile as typed, each in a tray of its own."""
    lead = groups.first_of_profile()
    size = len(lead)
    cells: dict[str, list[Any]] = {
        "tray": [str(i + 1) for i in range(size)],
        "graft": ["1"] * size,
        "taken": [str(int(t > 0)) for t in groups.taken[lead]],
        "grafted": ["1"] * size,
    }
    for name, (distinct, codes) in groups.cells.items():
        shown = np.empty(len(distinct) + 1, dtype=object)
        shown[:-1] = typed_cells(distinct.to_pandas())
        shown[-1] = None
        if any(isinstance(cell, str) and _is_odd(cell) for cell in shown):
            raise DoubtError("a sign that is not read here")
        cells[name] = shown[codes].tolist()
    columns = [cells.get(name, [None] * size) for name in file.columns]
    rows = [list(row) for row in zip(*columns, strict=True)]
    typed = table_of(
        [Sheet(label, "", [list(file.header), *rows])], trays_recorded=True, chosen=True
    )
    typed.origin["row"] = groups.first[lead] + _BELOW_HEADER
    return typed


def _is_odd(text: str) -> bool:
    return '"' in text or not text.isprintable()


# --- what the rules of a tray ask of lines -----------------------------------------------------


def _check_parts(groups: Groups, small: Records) -> None:
    """A graft that is missing or dead has not taken, whichever row of its kind one looks at."""
    parts = np.zeros(groups.profiles)
    for name in _PARTS:
        if name in small.table:
            parts += small.table[name].fillna(0.0).to_numpy(dtype=float)
    if (parts > 1).any() or groups.taken[parts[groups.profile] > 0].any():
        raise DoubtError("a part over the whole")


def _lines(groups: Groups, small: Records, typed: TypedTable) -> tuple[Whole, Whole]:
    """The tray, by season and trial, and the line of each group.

    Raises
    ------
    DoubtError
        For a tray in two places, two dates of one line, a tray over its size, a tray
        that was counted more than once, a season told by one of two dates.
    """
    table = small.table
    places = [name for name in PLACE_COLUMNS if name in table and name != "position"]
    known = [c.name for c in COLUMNS if c.role == "treatment" and c.name in table]
    unknown = [name for name in typed.unknown if name in table]
    pattern = _numbered(table, [*places, "tray_size", *known, *unknown])
    season = _numbered(table, ["season", "trial"])
    dates = _numbered(table, ["count", "count_date"])
    of = groups.profile
    key = mixed([groups.tray, season[of]])
    line = mixed([key, pattern[of]])
    if "count" in table and table["count"].nunique(dropna=False) > 1:
        raise DoubtError("several counts")
    _one_each(line, dates[of], "two dates of one line")
    _one_each(key, _numbered(table, places)[of], "a tray in two places")
    if "season" not in typed.cells or any(cell is None for cell in typed.cells["season"]):
        trays = mixed([groups.tray, _numbered(table, ["trial"])[of]])
        _one_each(trays, _numbered(table, ["graft_date", "count_date"])[of], "a season")
    if "tray_size" in table:
        made = np.bincount(key, weights=groups.rows)
        if (made[key] > table["tray_size"].to_numpy(dtype=float)[of]).any():
            raise DoubtError("more grafts than the tray has room for")
    return key, line


def _numbered(table: pd.DataFrame, names: list[str]) -> Whole:
    """A number for each combination of cells of these columns, blanks among them."""
    codes = [pd.factorize(table[name])[0] for name in names if name in table]
    return mixed(codes) if codes else np.zeros(len(table), dtype=np.int64)


def _one_each(key: Whole, value: Whole, doubt: str) -> None:
    if (value[first_places(key)][key] != value).any():
        raise DoubtError(doubt)


# --- the tables ---------------------------------------------------------------------------------


def _counts(groups: Groups, small: Records, line: Whole) -> dict[str, NDArray[np.float64]]:
    """Grafts made and taken, missing and dead understocks of each line; blank is not 0."""
    out: dict[str, NDArray[np.float64]] = {
        "grafted": np.bincount(line, weights=groups.rows).astype(float),
        "taken": np.bincount(line, weights=groups.taken).astype(float),
    }
    for name in _PARTS:
        out[name] = np.full(len(out["grafted"]), np.nan)
        if name not in small.table:
            continue
        each = small.table[name].to_numpy(dtype=float)[groups.profile]
        told = np.bincount(line, weights=~np.isnan(each))
        total = np.bincount(line, weights=np.nan_to_num(each) * groups.rows)
        out[name] = np.where(told > 0, total, np.nan)
    return out


def _of_text(distinct: pa.Array, codes: Whole) -> pd.Series[Any]:
    """Names row by row, in the one text type of the package."""
    taken = distinct.cast(pa.string()).cast(pa.large_string()).take(pa.array(codes))
    return pd.Series(pd.array(taken, dtype="str"))


def _put(table: pd.DataFrame, rows: Whole, new: dict[str, Any]) -> pd.DataFrame:
    """These rows of a table, with other columns in the places of the old ones."""
    out = {}
    for name in table:
        column = new.get(str(name))
        if column is None:
            column = pd.Series(table[name].array.take(rows))
        out[str(name)] = column
    return pd.DataFrame(out)


def _trays(
    small: Records, lead: Whole, counts: dict[str, Any], trays: pd.Series[Any]
) -> pd.DataFrame:
    new = {**counts, "tray": trays, "line": np.arange(len(lead), dtype=np.int64)}
    out = _put(small.trays, lead, {**new, "tray_id": trays})
    if len(small.trays[["season", "trial"]].drop_duplicates()) > 1:
        out["tray_id"] = tray_ids(out, trays_recorded=True)
    return out


def _table(
    small: Records,
    lead: Whole,
    counts: dict[str, Any],
    trays: pd.Series[Any],
    first: Whole,
    file: GraftFile,
) -> pd.DataFrame:
    new = {name: counts[name] for name in (*_COUNTS, *_PARTS) if name in small.table}
    out = _put(small.table, lead, {**new, "tray": trays, "row": first + _BELOW_HEADER})
    free = set(file.blocks[0].free)
    return out.drop(columns=[name for name in ("graft", *free) if name in out])


def _changes(small: Records, groups: Groups, file: GraftFile) -> pd.DataFrame:
    """What was changed in one row of a kind was changed in every row of it."""
    if not len(small.changes):
        return small.changes
    start = groups.first[groups.first_of_profile()] + _BELOW_HEADER
    order = np.argsort(start)
    of_change = order[np.searchsorted(start[order], small.changes["row"].to_numpy())]
    each = np.concatenate(
        [b.each_row(groups.profile[g]) for b, g in zip(file.blocks, groups.of_block, strict=True)]
    )
    rows, lines = [], []
    for profile in np.unique(of_change).tolist():
        here = np.flatnonzero(each == profile)
        for change in np.flatnonzero(of_change == profile).tolist():
            rows.append(here + _BELOW_HEADER)
            lines.append(np.full(len(here), change))
    row, line = np.concatenate(rows), np.concatenate(lines)
    at = np.lexsort((line, row))  # the changes of one row stand in the order of its columns
    return _put(small.changes, line[at], {"row": row[at]})
