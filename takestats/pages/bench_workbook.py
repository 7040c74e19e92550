"""Which record workbook belongs to a bench layout, its trays filled in and locked?"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import fields
from typing import Any

from takestats.bench.layout import BenchLayout
from takestats.errors import SettingsError
from takestats.pages.workbook import RecordBook
from takestats.records.columns import BY_NAME
from takestats.records.each_of import each_text
from takestats.records.settings import TrialSettings
from takestats.records.workbook_layout import CaliperUnit, layout_of
from takestats.wording.banner import banner_line
from takestats.wording.bench_papers import half_note, layout_how_to_lines
from takestats.wording.shown import shown

FILE = "records.xlsx"

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
    return RecordBook(
        file=FILE,
        layout=layout_of(given, caliper_unit=unit),
        settings=trial_rows(layout, settings),
        words={name: some for name, some in levels.items() if BY_NAME[name].kind != "whole"},
        tray_size=layout.tray_size,
        rows=tuple(_row(row, (*given, "tray")) for row in table.to_dict("records")),
        locked=("tray", *given),
        banner=shown(banner_of(settings)),
        how_to=layout_how_to_lines(file=FILE, split=layout.split_trays),
    )


def banner_of(settings: TrialSettings) -> str:
    """The line that stands first wherever invented or published records are shown."""
    return banner_line(
        invented=settings.invented,
        seed=settings.seed,
        truth=settings.truth,
        source=settings.source,
        reconstructed=settings.reconstructed,
    )


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
    rows.setdefault("compare.factors", ", ".join(layout.factors))
    rows["bench.trays_each"] = str(layout.trays_each)
    rows["bench.blocks"] = str(layout.blocks)
    rows["bench.tray_size"] = "" if layout.tray_size is None else str(layout.tray_size)
    rows["bench.split_trays"] = "yes" if layout.split_trays else "no"
    rows["bench.seed"] = str(layout.seed)
    rows["bench.drawn"] = ", ".join(layout.factors)
    rows["bench.layout"] = layout.fingerprint
    return tuple((shown(key), shown(value)) for key, value in rows.items())


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
