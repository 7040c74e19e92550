"""Sound sheets in three shapes, and one fault of every kind to plant in them.

Invented records. Each fault changes one sound sheet in one way and says at which
cell it must be told.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field
from typing import Any

Row = dict[str, str]
Sheet = list[Row]


def wide_sheet(size: int) -> Sheet:
    """One row per tray."""
    return [
        {
            "season": "2025-26", "trial": "main", "block": str(1 + i % 3), "bench": "north",
            "tray": f"T{i + 1}", "tray_size": "40", "made_by": "graft",
            "scion": "Hamamelis × intermedia 'Jelena'", "understock": "Hamamelis virginiana",
            "relation": "same genus", "method": "cleft" if i % 2 else "side veneer",
            "scion_wood": "terminal", "buds": "2", "union_height_mm": "low", "sealed": "yes",
            "understock_caliper_mm": "9.5", "scion_caliper_mm": "6",
            "scion_cut_date": "2026-01-02", "graft_date": "2026-02-03", "grafter": "AB",
            "grafted": "30", "taken": "25", "understock_dead": "2", "missing": "1",
            "count_date": "2026-06-15", "alive_later": "24", "later_count_date": "2026-09-01",
            "saleable": "20", "saleable_date": "2026-10-01", "defects_later": "1",
        }
        for i in range(size)
    ]  # fmt: skip


def long_sheet(size: int) -> Sheet:
    """One row per tray and count: all first counts, then all settled counts."""
    return [
        {
            "tray": f"T{i + 1}", "season": "2026", "method": "cleft", "grafted": "30",
            "count": name, "count_date": date, "alive": alive,
        }
        for name, date, alive in (("first", "2026-04-01", "27"), ("settled", "2026-06-15", "25"))
        for i in range(size)
    ]  # fmt: skip


def parts_sheet(size: int) -> Sheet:
    """Two lines to a tray: all first counts, then all settled counts."""
    return [
        {
            "tray": f"T{i + 1}", "season": "2026", "method": method, "grafted": "15",
            "count": name, "count_date": date, "alive": alive,
        }
        for name, date, alive in (("first", "2026-04-01", "12"), ("settled", "2026-06-15", "11"))
        for i in range(size)
        for method in ("cleft", "side veneer")
    ]  # fmt: skip


def graft_sheet(size: int) -> Sheet:
    """One row per graft, four grafts to a tray."""
    return [
        {
            "tray": f"T{1 + i // 4}", "season": "2026", "graft": str(i % 4 + 1),
            "method": "cleft", "grafted": "1", "taken": str(i % 2),
        }
        for i in range(4 * size)
    ]  # fmt: skip


SHEETS: dict[str, Callable[[int], Sheet]] = {
    "wide": wide_sheet,
    "long": long_sheet,
    "parts": parts_sheet,
    "grafts": graft_sheet,
}


@dataclass(frozen=True)
class Planted:
    """A fault: its code, the shape it is planted in, and the cells that it sets."""

    code: str
    column: str
    cells: Row
    shape: str = "wide"
    settings: dict[str, Any] = field(default_factory=dict)
    copied: bool = False  # the row is copied to the end first, and the copy changed
    told_at: str = ""  # the column it is told at, when not the one that is set
    everywhere: Row = field(default_factory=dict)  # set in every other row too
    dropped: str = ""  # a column that is taken out
    renamed: Row = field(default_factory=dict)  # headers that are written otherwise
    header: bool = False  # told at the header, row 0 of a data frame


def one(code: str, column: str, value: str, **more: Any) -> Planted:
    """A fault made by one cell."""
    return Planted(code, column, {column: value}, **more)


NAMES = {"names": {"jelena": "Hamamelis x intermedia 'Jelena'"}}

PLANTED: tuple[Planted, ...] = (
    Planted("no_column", "taken", {}, dropped="taken", header=True),
    Planted("no_column", "grafted", {}, dropped="grafted", header=True),
    Planted("no_tray_column", "tray", {}, dropped="tray", header=True),
    Planted("two_columns", "taken", {}, everywhere={"alive": "25"}, header=True),
    Planted("percent_header", "take %", {}, renamed={"taken": "take %"}, header=True),
    Planted("unclear_header", "Date", {}, everywhere={"Date": "wet"}, header=True),
    one("totals_row", "tray", "Total"),
    one("totals_row", "tray", "Totals for week 3"),
    Planted("remark_row", "tray", {**dict.fromkeys(wide_sheet(1)[0], ""),
            "tray": "T3 and T4 were moved"}),
    Planted("no_column", "taken", {}, renamed={"taken": "alive May"}, header=True),
    Planted("lone_cell", "tray", {**dict.fromkeys(wide_sheet(1)[0], ""), "tray": "wk 4"}),
    one("formula", "taken", "=A2-B2"),
    one("formula", "block", "=A2"),
    one("sheet_error", "grafted", "#REF!"),
    one("sheet_error", "graft_date", "#VALUE!"),
    Planted("repeated_header", "tray", {"tray": "tray", **{c: c for c in wide_sheet(1)[0]}}),
    one("percent_cell", "taken", "80%"),
    one("text_number", "taken", "28?"),
    one("text_number", "taken", "all"),
    one("fraction", "taken", "22.5"),
    one("negative", "missing", "-1"),
    one("out_of_range", "grafted", "0"),
    one("out_of_range", "buds", "99"),
    one("unusual", "understock_caliper_mm", "80"),
    one("not_a_length", "scion_caliper_mm", "pencil"),
    one("turned_to_date", "understock_caliper_mm", "8-Mar"),
    one("turned_to_date", "tray", "4-Jan"),
    one("turned_to_date", "taken", "12-Aug"),
    one("length_range", "understock_caliper_mm", "6-8 mm"),
    one("length_range", "scion_caliper_mm", "1/4 to 3/8 in"),
    one("day_number", "graft_date", "46056"),
    one("height_words", "union_height_mm", "50"),
    one("not_a_date", "graft_date", "early"),
    one("date_order", "graft_date", "3/2/2026"),
    one("date_without_year", "graft_date", "3 Feb"),
    one("date_year", "graft_date", "1026-02-03"),
    one("no_such_day", "graft_date", "2026-02-30"),
    one("date_before", "count_date", "2026-01-20"),
    one("date_after", "scion_cut_date", "2026-02-05"),
    one("long_gap", "scion_cut_date", "2025-01-02"),
    Planted("long_gap", "graft_date", {"graft_date": "2024-02-03", "scion_cut_date": ""},
            told_at="count_date"),
    one("date_before", "later_count_date", "2026-06-01"),
    one("date_without_count", "taken", "", everywhere={"saleable": "", "saleable_date": "",
        "defects_later": "", "alive_later": "", "later_count_date": ""}),
    one("date_without_count", "saleable", ""),
    one("bad_season", "season", "winter"),
    one("season_against_date", "season", "2024-25", told_at="count_date"),
    one("two_spellings", "bench", "North"),
    one("sign_for_blank", "block", "-"),
    Planted("unknown_class", "caliper_class", {"caliper_class": "middling"},
            everywhere={"caliper_class": "stout"}, settings={"classes": {"stout": "8 to 10 mm"}}),
    Planted("class_against_caliper", "understock_caliper_mm", {"understock_caliper_mm": "7"},
            everywhere={"caliper_class": "stout"}, settings={"classes": {"stout": "8 to 10 mm"}},
            told_at="caliper_class"),
    one("not_in_list", "scion_wood", "terminall"),
    one("not_in_list", "relation", "cousin"),
    one("ambiguous_method", "method", "whip"),
    one("method_near", "method", "clefft"),
    one("own_method", "method", "zigzag lock"),
    one("unknown_name", "scion", "jelenna", settings=NAMES),
    one("short_name", "scion", "our red one"),
    one("two_understocks", "scion", "Hamamelis mollis on Parrotia persica", told_at="understock"),
    Planted("cutting_with_graft", "method", {"made_by": "cutting", "understock": "",
            "relation": ""}),
    one("no_grafted", "grafted", ""),
    one("no_tray", "tray", ""),
    one("more_than_grafted", "taken", "31"),
    one("more_than_grafted", "understock_dead", "31"),
    one("parts_over_whole", "understock_dead", "6"),
    one("parts_over_whole", "missing", "4"),
    one("more_than_taken", "saleable", "26"),
    one("more_than_taken", "defects_later", "26"),
    one("more_than_tray", "tray_size", "29", told_at="grafted"),
    one("alive_rose", "alive_later", "26"),
    Planted("same_row", "tray", {}, copied=True),
    Planted("same_row_other_counts", "tray", {"taken": "24"}, copied=True),
    Planted("two_places", "bench", {"bench": "south", "grafted": "5", "taken": "4",
            "method": "splice", "understock_dead": "0", "missing": "0", "alive_later": "4",
            "saleable": "3"}, copied=True),
    one("grafted_changed", "grafted", "29", shape="long"),
    one("treatment_changed", "method", "splice", shape="long"),
    one("alive_rose", "taken", "28", shape="long"),
    one("not_in_list", "count", "someday", shape="long"),
    Planted("later_twice", "taken", {"count": "later", "count_date": "2026-09-01", "taken": "23",
            "alive_later": "", "later_count_date": ""}, copied=True,
            everywhere={"count": "settled"}),
    Planted("which_line", "tray", {"method": ""}, shape="parts"),
    one("graft_not_0_1", "taken", "2", shape="grafts"),
    one("graft_not_one", "grafted", "2", shape="grafts"),
    one("graft_not_counted", "taken", "", shape="grafts"),
    Planted("same_graft", "graft", {}, copied=True, shape="grafts"),
)  # fmt: skip


def plant(fault: Planted, size: int, where: int) -> tuple[Sheet, int, str]:
    """The sheet with the fault in it, the row it is told at (from 1), and the column."""
    sheet = SHEETS[fault.shape](size)
    if fault.shape in ("long", "parts"):
        where += len(sheet) // 2  # at a later count, where it must be held against the first
    for row in sheet:
        row.update(fault.everywhere)
    if fault.copied:
        sheet.append(dict(sheet[where]))
        where = len(sheet) - 1
    cells = dict(fault.cells)
    if fault.shape == "long" and "taken" in cells:
        cells["alive"] = cells.pop("taken")
    sheet[where].update(cells)
    sheet = [
        {fault.renamed.get(name, name): text for name, text in row.items() if name != fault.dropped}
        for row in sheet
    ]
    return sheet, 0 if fault.header else where + 1, fault.told_at or fault.column
