"""One fault planted in a sound sheet, and the cells at which it must be told."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass
from random import Random
from typing import Any

from tests.fuzz.seeds import (
    SIZE,
    Row,
    csv_file,
    grid,
    parquet_file,
    settings_text,
    wide_rows,
    xlsx_file,
)


@dataclass(frozen=True)
class Planted:
    """What is typed into one cell; ``at`` is the column it is told at, if another.

    ``of`` says in which kinds of file it can stand.
    """

    name: str
    column: str
    typed: Any
    at: str = ""
    of: tuple[str, ...] = ("csv", "xlsx", "parquet")


def _one(column: str, *texts: Any, at: str = "", of: str = "csv xlsx parquet") -> list[Planted]:
    return [Planted(f"{column}={t!s}", column, t, at, tuple(of.split())) for t in texts]


DAY = dt.datetime(2026, 3, 8)
PLANTED: tuple[Planted, ...] = (
    *_one(
        "taken", "38?", "28?", "~28", "28 or so", "all", "none", "80%", "0.8", "22.5", "31", "-3"
    ),
    *_one("taken", "12-Aug", "2026-08-12", "=A2-B2", "#REF!", "1e1", "2 8", "٢٥", "２５"),
    *_one("taken", "25 ", "\u00a025", "999999999", "25;", "O", "l7", "∞", "nan", "inf", "25‰"),
    *_one("taken", ""),
    *_one("taken", DAY, of="xlsx"),
    *_one("taken", "0x19", "1_0", "½", "25\u200b", "Ⅻ", "twenty five", "<b>25</b>", "{{25}}"),
    *_one("grafted", "0", "", "-30", "30?", "thirty", "29.9", "100%", "#DIV/0!", "3000"),
    *_one("grafted", DAY, of="xlsx"),
    *_one("tray", "", "4-Jan", "Total", "Totals", "Grand total", "Average", "mean"),
    *_one("tray", DAY, of="xlsx"),
    *_one("understock_caliper_mm", "8-Mar", "pencil", "80", '3/8"', "9,5", "0", "-4", "6-8", "1/0"),
    *_one("understock_caliper_mm", "8 cm", "0.3 in", "8mm", "half", "1e400", "9" * 400, "8/3/8"),
    *_one("understock_caliper_mm", DAY, of="xlsx"),
    *_one("method", "whip", "clefft", "zigzag lock", "Cleft graft", "budding", "=1+1", "#N/A"),
    *_one("method", "CLEFT", "side", "veneer", "-", "?"),
    *_one("scion", "coper moth", "Copper  Moth", "our best red", "Hamamelis x", "copper moth on x"),
    *_one("graft_date", "3/4/2026", "2026-02-30", "3 Feb 2026", "1026-02-03", "46056", "early"),
    *_one("graft_date", "3 Feb", "Feb 2026", "2026-13-01", "2026-06-31", "29 Feb 2025", "0"),
    *_one("graft_date", "2027-01-05", at="count_date"),
    *_one("count_date", "2025-12-16", "16/6/26", "June", "yesterday", "9999-12-31", "0000-01-01"),
    *_one("understock_dead", "6", "31", "-1", "x", "1?", "1.5"),
    *_one("missing", "-1", "5", "31", "some"),
    *_one("saleable", "29", "26", "-1", "most", "22?", "90 %"),
    *_one("season", "winter", "2025-27", "25", "2025/26"),
    *_one("season", "2024-25", at="count_date"),
    *_one("scion_wood", "terminall", "middle", "Terminal"),
    *_one("bench", "North", "NORTH ", "n/a"),
    *_one("union_height_mm", "50", "lowish", "Low"),
    *_one("tray_size", "20", at="grafted"),
    *_one("tray_size", "thirty", "-30", "30.5"),
)


@dataclass(frozen=True)
class PlantedFile:
    """A broken file, its settings, and where each of its faults must be told."""

    kind: str
    data: bytes
    settings: str
    sheet: str
    cells: tuple[tuple[str, int, str], ...]
    """(what was planted, row, column)"""


def planted_file(random: Random) -> PlantedFile:
    """Plant one to four faults in different rows of one sheet."""
    kind = random.choice(["csv", "csv", "xlsx", "parquet"])
    rows = wide_rows()
    first = 2 if kind == "parquet" else 3
    told: list[tuple[str, int, str]] = []
    possible = [fault for fault in PLANTED if kind in fault.of]
    few = random.sample(possible, random.randint(1, 3))
    free, *places = random.sample(range(SIZE), len(few) + 1)
    for fault, at in zip(few, places, strict=True):
        if any(fault.column == other.column for other in few if other is not fault):
            continue  # two of one column may be told in one line, as two spellings are
        rows[at][fault.column] = fault.typed
        told.append((fault.name, first + at, fault.at or fault.column))
    longer = kind == "csv" and random.random() < 0.1
    if not longer and random.random() < 0.4:
        name, column = _at_the_end(random, rows, free)
        told.append((name, first + len(rows) - 1, column))
    cells = grid(rows, mark=kind != "parquet")
    if kind == "csv":
        if longer:
            cells[2 + free].append("38")
            told.append(("a cell too many", first + free, f"column {len(cells[1]) + 1}"))
        separator = random.choice(",;\t")
        encoding = random.choice(["utf-8", "utf-8", "utf-8-sig", "utf-16"])
        data = csv_file(cells, separator, encoding)
    else:
        data = (xlsx_file if kind == "xlsx" else parquet_file)(cells)
    sheet = "bench" if kind == "xlsx" else ""
    return PlantedFile(kind, data, settings_text(), sheet, tuple(told))


def _at_the_end(random: Random, rows: list[Row], free: int) -> tuple[str, str]:
    """Add a row that is no tray, or the tray of the free row a second time."""
    blank = dict.fromkeys(rows[0], "")
    again = wide_rows()[free]
    ends: dict[str, tuple[Row, str]] = {
        "totals row": ({**blank, "tray": "Total", "grafted": "420", "taken": "350"}, "tray"),
        "totals without a word": ({**blank, "grafted": "420", "taken": "350"}, "tray"),
        "header again": ({name: name for name in rows[0]}, "tray"),
        "remark": ({**blank, "tray": "F03 and F04 were moved"}, "tray"),
        "percents row": ({**blank, "tray": "percent", "taken": "83%"}, "taken"),
        "blank tray": ({**again, "tray": ""}, "tray"),
        "same tray, other numbers": ({**again, "taken": "3", "saleable": "2"}, "tray"),
        "same tray": (again, "tray"),
        "two places": ({**again, "bench": "south"}, "bench"),
    }
    name = random.choice(list(ends))
    row, column = ends[name]
    rows.append(row)
    return name, column
