"""How do the typed columns of all files become values?"""

from __future__ import annotations

from typing import Any

import numpy as np
import pandas as pd
from numpy.typing import NDArray

from takestats.records.classes import settle_classes
from takestats.records.columns import BY_NAME
from takestats.records.convert import convert
from takestats.records.plant_cells import known_genera
from takestats.records.problems import FaultLog, plain
from takestats.records.row_checks import Cells
from takestats.records.schema import hold_against_declarations
from takestats.records.settings import TrialSettings
from takestats.records.sheets import TypedTable
from takestats.records.spellings import ask_about_spellings, give_plants_one_spelling


def converted(
    typed: TypedTable,
    log: FaultLog,
    settings: TrialSettings,
    rows_behind: NDArray[np.int64] | None = None,
) -> Cells:
    """Read every column by its declaration; a column that is not known stays text.

    ``rows_behind`` says how many rows of the file each row stands for.
    """
    values: dict[str, NDArray[Any]] = {}
    if typed.single.any():
        _words_of_single_grafts(typed, log)
    plants = [typed.cells[name] for name in ("scion", "understock") if name in typed.cells]
    genera = known_genera(plants, settings.names)
    for name, raw in typed.cells.items():
        if name in BY_NAME and name not in typed.unknown:
            values[name] = convert(BY_NAME[name], raw, log, settings, typed.units[name], genera)
        else:
            values[name] = _as_text(raw)
    hold_against_declarations(values, log)
    _one_kind_of_height(values, log)
    settle_classes(values, settings.classes, settings.records.get("caliper_unit"), log)
    behind = np.ones(len(typed.origin), dtype=np.int64) if rows_behind is None else rows_behind
    give_plants_one_spelling(values, settings.names, log, behind)
    ask_about_spellings(values, typed.unknown, log, behind)
    return Cells(values, len(typed.origin))


def _as_text(raw: NDArray[Any]) -> NDArray[Any]:
    """Every cell as it is shown; each distinct one is turned once."""
    codes, distinct = pd.factorize(raw)
    return np.array([*[plain(cell) for cell in distinct], None], dtype=object)[codes]


def _words_of_single_grafts(typed: TypedTable, log: FaultLog) -> None:
    """In a record of single grafts "yes" or "dead" is as good as 1 or 0."""
    meant = {
        "yes": "1",
        "y": "1",
        "true": "1",
        "alive": "1",
        "taken": "1",
        "no": "0",
        "n": "0",
        "false": "0",
        "dead": "0",
        "failed": "0",
    }
    for name in ("taken", "understock_dead", "missing"):
        if name not in typed.cells:
            continue
        column = typed.cells[name]
        codes, distinct = pd.factorize(column)
        words = [meant.get(str(cell).lower()) for cell in distinct]
        became = np.array([*words, None], dtype=object)[codes]
        known = np.array([*[word is not None for word in words], False], dtype=bool)[codes]
        rows = np.flatnonzero(known & typed.single)
        log.change(rows, name, "1 or 0")
        column[rows] = became[rows]


def _one_kind_of_height(values: dict[str, NDArray[Any]], log: FaultLog) -> None:
    """Heights are numbers when all are; text when the words low and high are used."""
    column = values.get("union_height_mm")
    if column is None:
        return
    word = np.array([isinstance(v, str) for v in column], dtype=bool)
    number = np.array([isinstance(v, float) for v in column], dtype=bool)
    if not word.any():
        values["union_height_mm"] = np.array(
            [np.nan if v is None else v for v in column], dtype=float
        )
        return
    rows = np.flatnonzero(number if number.sum() <= word.sum() else word)
    log.add("height_words", rows if number.any() else rows[:0], "union_height_mm")
    log.change(np.flatnonzero(number), "union_height_mm", "text, as other heights are words")
    values["union_height_mm"] = np.array(
        [f"{plain(v)} mm" if isinstance(v, float) else v for v in column], dtype=object
    )
