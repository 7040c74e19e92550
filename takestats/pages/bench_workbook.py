"""Which record workbook belongs to a bench layout, its trays filled in and locked?"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import fields
from difflib import get_close_matches
from typing import Any

from takestats.bench.layout import BenchLayout
from takestats.errors import DesignError, SettingsError
from takestats.pages.workbook import RecordBook
from takestats.records.columns import BY_NAME
from takestats.records.each_of import each_text
from takestats.records.methods import read_method
from takestats.records.settings import TrialSettings
from takestats.records.words import COUNT_NAMES
from takestats.records.workbook_layout import (
    COUNT_SHEETS,
    LATER_COUNTS,
    CaliperUnit,
    layout_of,
)
from takestats.wording.bench_papers import half_note, layout_how_to_lines
from takestats.wording.bench_refusals import no_graft_rows, no_such_count, too_many_graft_rows
from takestats.wording.shown import shown

FILE = "records.xlsx"
MOST_GRAFT_ROWS = 30_000
"""Rows of one graft each that a spreadsheet still opens and works out at ease (measured)."""

_SECTIONS = (
    "trial", "records", "names", "methods", "classes", "compare", "targets", "costs", "work",
)  # fmt: skip


def layout_book(layout: BenchLayout, settings: TrialSettings) -> RecordBook:
    """Plan the record workbook of a layout: a row for each tray, or half of one.

    Parameters
    ----------
    layout : BenchLayout
    settings : TrialSettings
        Copied to the trial sheet; what the layout settled stands there instead.

    Returns
    -------
    RecordBook
        What the lot gave is filled in and locked; grafts made are not, because a tray of the
        layout is not grafted yet.
    """
    places = ("block", *layout.place_columns, "position")
    unit: CaliperUnit = "in" if settings.records.get("caliper_unit") == "in" else "mm"
    given = (*places, *layout.treatment_columns)
    table = layout.table
    levels = {
        name: tuple(dict.fromkeys(table[name].astype(str))) for name in layout.treatment_columns
    }
    per_graft = settings.bench.get("rows") == "graft"
    rows = [_row(row, (*given, "tray")) for row in table.to_dict("records")]
    if per_graft:
        rows = _grafts(layout, rows)
        given = (*given, "graft", "understock_caliper_mm", "scion_caliper_mm")
    return RecordBook(
        file=FILE,
        layout=layout_of(
            given, caliper_unit=unit, counts=counts_asked(settings), row_per_graft=per_graft
        ),
        settings=trial_rows(layout, settings),
        words={name: some for name, some in levels.items() if BY_NAME[name].kind != "whole"},
        tray_size=layout.tray_size,
        rows=tuple(rows),
        locked=("tray", *places, *layout.treatment_columns, *(("graft",) if per_graft else ())),
        banner=shown(settings.banner),
        how_to=layout_how_to_lines(file=FILE, split=layout.split_trays, per_graft=per_graft),
        halves_by=_halves_by(layout),
    )


def counts_asked(settings: TrialSettings) -> tuple[str, ...]:
    """The counts that have a sheet of their own: those after the settled one, unless named.

    The count that the settings compare always has one.

    Raises
    ------
    SettingsError
        When a count is not known.
    """
    asked = settings.bench.get("counts")
    parts = asked.split(",") if isinstance(asked, str) else asked
    if parts is not None and not isinstance(parts, list | tuple):
        parts = [parts]
    named = LATER_COUNTS if parts is None else tuple(_count(str(name)) for name in parts)
    awaited = str(settings.records.get("count") or "settled")
    return tuple(name for name in COUNT_SHEETS if name in (*named, awaited))


def _count(typed: str) -> str:
    """A count by any of its names; "none" stands for no sheet at all."""
    word = " ".join(typed.lower().split())
    found = next((name for name, also in COUNT_NAMES.items() if word in (name, *also)), "")
    if found or word in ("none", "no"):
        return found
    near = get_close_matches(word, COUNT_SHEETS, n=1, cutoff=0.6)
    what, rule, next_step = no_such_count(typed, near[0] if near else "", tuple(COUNT_SHEETS))
    raise SettingsError(where="settings", what=what, rule=rule, next_step=next_step)


def _grafts(layout: BenchLayout, rows: list[dict[str, object]]) -> list[dict[str, object]]:
    """A row for each graft of each row; the halves of a tray are numbered on.

    Raises
    ------
    DesignError
        When it is not known how many there are, or when there are too many for a sheet.
    """
    if layout.tray_size is None:
        raise DesignError(**no_graft_rows())
    cells = layout.tray_size // (2 if layout.split_trays else 1)
    if cells * len(rows) > MOST_GRAFT_ROWS:
        raise DesignError(**too_many_graft_rows(cells * len(rows), MOST_GRAFT_ROWS))
    out: list[dict[str, object]] = []
    made: dict[object, int] = {}
    for row in rows:
        for _ in range(cells):
            made[row["tray"]] = made.get(row["tray"], 0) + 1
            out.append({**row, "graft": str(made[row["tray"]])})
    return out


def _halves_by(layout: BenchLayout) -> str:
    """The column in which the two halves of every tray differ; blank for whole trays."""
    if not layout.split_trays:
        return ""
    of_tray = layout.table.groupby("tray")
    differs = [name for name in layout.factors if (of_tray[name].nunique() == 2).all()]
    return differs[0]


def _row(row: Mapping[Any, Any], given: tuple[str, ...]) -> dict[str, object]:
    """The cells of one line; a whole number stays one, all else is text."""
    out: dict[str, object] = {}
    for name in given:
        text = str(row[name])
        whole = BY_NAME[name].kind == "whole" and text.isdecimal()
        out[name] = int(text) if whole else text
    if "half" in row:
        out["note"] = half_note(str(row["half"]))
    return out


def trial_rows(layout: BenchLayout, settings: TrialSettings) -> tuple[tuple[str, str], ...]:
    """The trial sheet of a layout: the settings as given, and what the lot was.

    Raises
    ------
    SettingsError
        When a setting has parts that do not go into one cell.
    """
    rows: dict[str, str] = {}
    for entry in fields(settings):
        value = getattr(settings, entry.name)
        if entry.name in _SECTIONS:
            rows |= {f"{entry.name}.{key}": _cell(entry.name, key, v) for key, v in value.items()}
        elif entry.name not in ("file", "sha256", "bench") and value not in ("", None, False):
            rows[entry.name] = _cell("", entry.name, value)
    rows.setdefault("trial.question", "")
    rows.setdefault("trial.standard", "")
    rows["trial.randomised"] = "half" if layout.split_trays else "tray"
    rows.setdefault("records.count_after_weeks", "")
    rows.setdefault("compare.factors", ", ".join(layout.factors))
    rows["bench.trays_each"] = str(layout.trays_each)
    rows["bench.blocks"] = str(layout.blocks)
    rows["bench.tray_size"] = "" if layout.tray_size is None else str(layout.tray_size)
    rows["bench.split_trays"] = "yes" if layout.split_trays else "no"
    for word in _own_methods(layout, settings):
        rows[f"methods.{word}"] = word
    counts = counts_asked(settings)
    rows["bench.counts"] = ", ".join(counts) or "none"
    rows["bench.rows"] = str(settings.bench.get("rows") or "tray")
    rows["bench.seed"] = str(layout.seed)
    rows["bench.drawn"] = ", ".join(layout.factors)
    rows["bench.layout"] = layout.fingerprint
    return tuple((shown(key), shown(value)) for key, value in rows.items())


def _own_methods(layout: BenchLayout, settings: TrialSettings) -> list[str]:
    """Grafts of the layout that only this nursery knows: the records will know them too."""
    if "method" not in layout.treatment_columns:
        return []
    words = dict.fromkeys(str(word) for word in layout.table["method"])
    return [word for word in words if read_method(word, settings.methods).fault == "own_method"]


def _cell(section: str, key: str, value: object) -> str:
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, Mapping):
        if section == "targets" and "plants" in value:
            takes = [f"{name} {value[name]}" for name in value if name != "plants"]
            return ", ".join([str(value["plants"]), *takes])
        if section == "work" and key != "window":
            return each_text(value)
        raise SettingsError(
            where=f"{section}.{key}",
            what="a setting of several parts",
            rule="On the trial sheet of a workbook a setting is one line of text.",
            next_step='Write it in one line, like prepare = "minutes 2, money 0.10".',
        )
    if isinstance(value, list | tuple):
        between = {"classes": " to ", "trial": "; ", "work": " to "}.get(section, ", ")
        return between.join(str(part) for part in value)
    return str(value)
