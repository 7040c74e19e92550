"""Do the rows still hold the treatments that the bench layout gave them by lot?

A record workbook made from a layout carries the layout's fingerprint on its trial sheet.
It is worked out again from the rows as typed: only where the two agree may it be said
that treatments were given by lot.
"""

from __future__ import annotations

import hashlib
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import replace
from typing import Any, Literal

from takestats.errors import SettingsError
from takestats.records.settings import TrialSettings, trial_of_sheet
from takestats.records.sheets import TypedTable
from takestats.records.workbook_layout import TRIAL_SHEET
from takestats.wording.layout_match import (
    differs_note,
    kept_note,
    matches_note,
    others_note,
    several_note,
    unread_note,
)

LayoutState = Literal["", "matches", "differs"]
"""Blank: the records come from no layout."""

_PLACES = ("tray", "block")


def layout_fingerprint(rows: Iterable[Mapping[str, Any]], factors: Sequence[str]) -> str:
    """Sixteen signs that differ when a tray, its block or its treatment differs.

    Parameters
    ----------
    rows : iterable of mapping
        Cells as typed, by column name; a row may stand several times, in any order.
    factors : sequence of str
        The columns that were given by lot.

    Examples
    --------
    >>> rows = [{"tray": "A3AA", "block": "1", "method": "cleft"}]
    >>> other = [{"tray": "a3aa", "block": "1", "method": "Cleft "}]
    >>> layout_fingerprint(rows, ["method"]) == layout_fingerprint(other, ["method"])
    True
    """
    names = (*_PLACES, *sorted(factors))
    lines = {"\x1f".join(_plain(row.get(name)) for name in names) for row in rows}
    told = "\x1e".join((*names, *sorted(lines)))
    return hashlib.sha256(told.encode("utf-8")).hexdigest()[:16]


def recognised(
    typed: TypedTable, settings: TrialSettings
) -> tuple[TrialSettings, LayoutState, list[str]]:
    """Hold the rows against the layout that the settings name.

    Parameters
    ----------
    typed : TypedTable
        Every row, faulty ones too.
    settings : TrialSettings

    Returns
    -------
    (settings, state, notes)
        Where the rows differ, the settings no longer say that anything was given by lot.
    """
    mark = str(settings.bench.get("layout") or "")
    factors = drawn_columns(settings)
    if not mark or not factors:
        return settings, "", []
    seed = settings.bench.get("seed")
    by_file = _rows_by_file(typed, factors)
    same = {file: layout_fingerprint(rows, factors) == mark for file, rows in by_file.items()}
    together = layout_fingerprint((row for rows in by_file.values() for row in rows), factors)
    if together == mark:
        return settings, "matches", [matches_note(factors, mark, seed)]
    note = others_note(mark) if any(same.values()) else differs_note(mark)
    nothing = replace(settings, trial={**settings.trial, "randomised": "no"})
    return nothing, "differs", [note]


def with_layout_of_workbooks(
    settings: TrialSettings, beside: Mapping[str, list[list[Any]]]
) -> tuple[TrialSettings, list[str]]:
    """Take the layout from the workbooks where settings were given beside them.

    The rows are then held against it all the same. What was given by lot is told by the
    layout; settings that say that nothing was keep their word.

    Parameters
    ----------
    settings : TrialSettings
        As given.
    beside : mapping of str to rows
        The trial sheet of each workbook, by file.

    Returns
    -------
    (settings, notes)
    """
    if settings.bench.get("layout") or not beside:
        return settings, []
    found: dict[str, tuple[str, TrialSettings]] = {}
    notes = []
    for file, rows in beside.items():
        try:
            sheet = trial_of_sheet(rows, f"{file}, sheet {TRIAL_SHEET}")
        except SettingsError:
            if any(row and _plain(row[0]) == "bench.layout" for row in rows):
                notes.append(unread_note(file))
            continue
        if sheet.bench.get("layout") and drawn_columns(sheet):
            found.setdefault(str(sheet.bench["layout"]), (file, sheet))
    if len(found) > 1:
        return settings, [*notes, several_note(list(found))]
    if not found:
        return settings, notes
    ((mark, (file, sheet)),) = found.items()
    kept = {key: sheet.bench[key] for key in _OF_LAYOUT if key in sheet.bench}
    trial = dict(settings.trial)
    if trial.get("randomised") != "no" and sheet.trial.get("randomised"):
        trial["randomised"] = sheet.trial["randomised"]
    notes.append(kept_note(file, mark))
    return replace(settings, trial=trial, bench={**settings.bench, **kept}), notes


_OF_LAYOUT = ("layout", "drawn", "seed", "rows", "split_trays")


def drawn_columns(settings: TrialSettings) -> tuple[str, ...]:
    """The columns that the layout of the settings gave by lot."""
    return tuple(str(name) for name in settings.bench.get("drawn") or ())


def _rows_by_file(typed: TypedTable, factors: Sequence[str]) -> dict[str, list[dict[str, Any]]]:
    """The rows of each file; a later count may leave its treatment blank."""
    out: dict[str, list[dict[str, Any]]] = {}
    names = [name for name in (*_PLACES, *factors) if name in typed.cells]
    columns = {name: typed.cells[name].tolist() for name in names}
    for at, file in enumerate(typed.origin["file"].tolist()):
        row = {name: cells[at] for name, cells in columns.items()}
        if any(row.get(name) is not None for name in factors) or "count" not in typed.cells:
            out.setdefault(str(file), []).append(row)
    return out


def _plain(cell: object) -> str:
    return "" if cell is None else " ".join(str(cell).casefold().split())
