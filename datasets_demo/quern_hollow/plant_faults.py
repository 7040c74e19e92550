"""Plant known faults in a small invented record sheet of Quern Hollow.

Run ``python plant_faults.py`` to write ``planted_faults.csv`` and
``planted_faults.md`` beside this script, or ``python plant_faults.py FOLDER``
to write them elsewhere. No random numbers. The page lists every planted fault
with its cell, so that a check of the sheet can be marked like an exam.
"""

from __future__ import annotations

import sys
from dataclasses import dataclass
from pathlib import Path

from make_season import csv_text, write_files

MARK = "INVENTED DATA: faults planted by plant_faults.py and listed in planted_faults.md. No real nursery or cultivar."
HEADER = (
    "season,bench,tray,tray_size,scion,understock,method,scion_wood,union_height_mm,understock_caliper_mm,"
    "graft_date,grafter,grafted,taken,count_date,understock_dead,missing,saleable,note"
).split(",")
FIRST_ROW = 3  # row 1 says that the data are invented, row 2 is the header


@dataclass(frozen=True, kw_only=True)
class Fault:
    """One planted fault: its tray, its column, the text typed there, and why it is wrong."""

    tray: str
    column: str
    typed: str
    why: str
    kind: str = "error"


FAULTS = (
    Fault(tray="F02", column="taken", typed="31", why="more taken than the 30 grafted"),
    Fault(tray="F03", column="grafted", typed="-30", why="a negative count"),
    Fault(tray="F04", column="taken", typed="22.5", why="half a graft"),
    Fault(tray="F05", column="taken", typed="28?", why="a count with a question mark"),
    Fault(tray="F06", column="taken", typed="all", why="a word in place of a count"),
    Fault(tray="F07", column="taken", typed="80%", why="a percent in a count column"),
    Fault(tray="F08", column="taken", typed="", why="a count date without a count"),
    Fault(tray="F09", column="method", typed="whip", why="whip alone may be splice or whip-and-tongue"),
    Fault(tray="F10", column="understock_caliper_mm", typed="8-Mar", why="3/8 that a spreadsheet turned into a date"),
    Fault(tray="F11", column="graft_date", typed="3/4/2026", why="3 April or 4 March: the settings give no order"),
    Fault(tray="F12", column="scion", typed="coper moth", why="a short name that the settings do not know"),
    Fault(tray="F13", column="count_date", typed="2025-12-16", why="counted before it was grafted"),
    Fault(tray="F14", column="grafted", typed="", why="no number of grafts"),
    Fault(tray="F15", column="understock_dead", typed="6", why="28 taken and 6 dead are more than 30 grafted"),
    Fault(tray="F16", column="saleable", typed="29", why="more saleable than the 25 taken"),
    Fault(tray="F17", column="graft_date", typed="2026-02-30", why="a day that does not exist"),
    Fault(tray="4-Jan", column="tray", typed="4-Jan", why="a tray name that a spreadsheet turned into a date"),
    Fault(tray="F19", column="missing", typed="-1", why="a negative count"),
    Fault(tray="F20", column="understock_caliper_mm", typed="80", why="outside 2 to 60 mm: asked about, row kept", kind="query"),
)


def planted() -> tuple[list[list[object]], list[tuple[int, str, str, str, str]]]:
    """Build the rows of the sheet, and the list of faults: row, column, typed, kind, why."""
    rows: list[list[object]] = []
    listed: list[tuple[int, str, str, str, str]] = []
    for number in range(1, 23):
        tray = f"F{number:02d}"
        sound = {
            "season": "2025-26", "bench": "north", "tray": tray, "tray_size": 30,
            "scion": "copper moth", "understock": "virginiana",
            "method": "cleft" if number % 2 else "side veneer",
            "scion_wood": "terminal", "union_height_mm": "low", "understock_caliper_mm": 8,
            "graft_date": f"2026-01-{5 + number:02d}", "grafter": "AB", "grafted": 30,
            "taken": 28 if number == 15 else 25, "count_date": "2026-06-16", "understock_dead": 1,
            "missing": 0, "saleable": 22, "note": "",
        }  # fmt: skip
        for fault in FAULTS:
            if fault.tray == tray or (fault.column == "tray" and number == 18):
                sound[fault.column] = fault.typed
                listed.append((FIRST_ROW + len(rows), fault.column, fault.typed, fault.kind, fault.why))
        rows.append([sound[column] for column in HEADER])
    whole_rows: list[tuple[list[object], str, str]] = [
        (list(rows[20]), "tray", "the row of tray F21 once more, all the same"),
        ([*rows[21][:1], "south", *rows[21][2:]], "bench", "tray F22 again, on another bench: one tray in two places"),
        (list(HEADER), "tray", "the header repeated inside the sheet"),
        (["" if c not in {"tray", "grafted", "taken"} else {"tray": "Total", "grafted": 690, "taken": 575}[c] for c in HEADER], "tray", "a totals row"),
    ]  # fmt: skip
    for row, column, why in whole_rows:
        listed.append((FIRST_ROW + len(rows), column, str(row[HEADER.index(column)]), "error", why))
        rows.append(row)
    return rows, sorted(listed)


def made_files() -> dict[str, str]:
    """Make both files: their names and their texts."""
    rows, listed = planted()
    lines = [
        "# The planted faults", "", f"**{MARK}**", "",
        f"`planted_faults.csv` has {len(rows)} rows under its header and {len(listed)} planted faults. Every other row is sound.",
        "An *error* row cannot be used; a *query* row is kept and asked about.", "",
        "| row | column | cell | typed | kind | what is wrong |", "|---|---|---|---|---|---|",
    ]  # fmt: skip
    for row, column, typed, kind, why in listed:
        cell = f"{chr(ord('A') + HEADER.index(column))}{row}"
        lines.append(f"| {row} | {column} | {cell} | {f'`{typed}`' if typed else '(blank)'} | {kind} | {why} |")
    return {"planted_faults.csv": csv_text(HEADER, rows, mark=MARK), "planted_faults.md": "\n".join([*lines, ""])}


if __name__ == "__main__":
    write_files(Path(sys.argv[1]) if len(sys.argv) > 1 else Path(__file__).parent, made_files())
