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

from table_files import csv_text, write_files

MARK = (
    "INVENTED DATA: faults planted by plant_faults.py and listed in planted_faults.md. "
    "No real nursery or cultivar."
)
FIRST_ROW = 3  # row 1 says that the data are invented, row 2 is the header

# Tray number: the column, the text typed there, and why it is wrong.
ONE_CELL = {
    2: ("taken", "31", "more taken than the 30 grafted"),
    3: ("grafted", "-30", "a negative count"),
    4: ("taken", "22.5", "half a graft"),
    5: ("taken", "28?", "a count with a question mark"),
    6: ("taken", "all", "a word in place of a count"),
    7: ("taken", "80%", "a percent in a count column"),
    8: ("taken", "", "a count date without a count"),
    9: ("method", "whip", "whip alone may be splice or whip-and-tongue"),
    10: ("understock_caliper_mm", "8-Mar", "3/8 that a spreadsheet turned into a date"),
    11: ("graft_date", "3/4/2026", "3 April or 4 March: the settings give no order"),
    12: ("scion", "coper moth", "a short name that the settings do not know"),
    13: ("count_date", "2025-12-16", "counted before it was grafted"),
    14: ("grafted", "", "no number of grafts"),
    15: ("understock_dead", "6", "25 taken and 6 dead are more than 30 grafted"),
    16: ("saleable", "29", "more saleable than the 25 taken"),
    17: ("graft_date", "2026-02-30", "a day that does not exist"),
    18: ("tray", "4-Jan", "a tray name that a spreadsheet turned into a date"),
    19: ("missing", "-1", "a negative count"),
    20: ("understock_caliper_mm", "80", "outside 2 to 60 mm: asked about, row kept"),
}
QUERIES = {20}


@dataclass(frozen=True, kw_only=True, order=True)
class Planted:
    """One planted fault and its place in the sheet."""

    row: int
    column: str
    cell: str
    typed: str
    kind: str
    why: str


def sound_row(number: int) -> dict[str, str]:
    """Write a row without a fault; the keys are the columns of the sheet."""
    return {
        "season": "2025-26",
        "bench": "north",
        "tray": f"F{number:02d}",
        "tray_size": "30",
        "scion": "copper moth",
        "understock": "virginiana",
        "method": "cleft" if number % 2 else "side veneer",
        "scion_wood": "terminal",
        "union_height_mm": "low",
        "understock_caliper_mm": "8",
        "graft_date": f"2026-01-{5 + number:02d}",
        "grafter": "AB",
        "grafted": "30",
        "taken": "25",
        "count_date": "2026-06-16",
        "understock_dead": "1",
        "missing": "0",
        "saleable": "22",
        "note": "",
    }


HEADER = list(sound_row(1))


def planted_sheet() -> tuple[list[dict[str, str]], list[Planted]]:
    """Build the sheet, and the list of the faults in it."""
    sheet = [sound_row(number) for number in range(1, 23)]
    faults = []

    def note(at: int, column: str, why: str, kind: str = "error") -> None:
        row = FIRST_ROW + at
        cell = f"{chr(ord('A') + HEADER.index(column))}{row}"
        typed = sheet[at][column]
        faults.append(Planted(row=row, column=column, cell=cell, typed=typed, kind=kind, why=why))

    for number, (column, typed, why) in ONE_CELL.items():
        sheet[number - 1][column] = typed
        note(number - 1, column, why, "query" if number in QUERIES else "error")
    sheet.append(sound_row(21))
    note(22, "tray", "the row of tray F21 once more, all the same")
    sheet.append({**sound_row(22), "bench": "south"})
    note(23, "bench", "tray F22 again, on another bench: one tray in two places")
    sheet.append({column: column for column in HEADER})
    note(24, "tray", "the header repeated inside the sheet")
    sheet.append({**dict.fromkeys(HEADER, ""), "tray": "Total", "grafted": "690", "taken": "575"})
    note(25, "tray", "a totals row")
    return sheet, sorted(faults)


PAGE = f"""# The planted faults

**{MARK}**

`planted_faults.csv` has {{rows}} rows under its header and {{faults}} planted faults.
Every other row is sound. An *error* row cannot be used; a *query* row is kept and asked about.

| row | column | cell | typed | kind | what is wrong |
|---|---|---|---|---|---|
"""


def made_files() -> dict[str, str]:
    """Make both files: their names and their texts."""
    sheet, faults = planted_sheet()
    page = PAGE.format(rows=len(sheet), faults=len(faults))
    for fault in faults:
        typed = f"`{fault.typed}`" if fault.typed else "(blank)"
        page += (
            f"| {fault.row} | {fault.column} | {fault.cell} "
            f"| {typed} | {fault.kind} | {fault.why} |\n"
        )
    cells: list[list[object]] = [list(row.values()) for row in sheet]
    return {"planted_faults.csv": csv_text(HEADER, cells, mark=MARK), "planted_faults.md": page}


if __name__ == "__main__":
    write_files(Path(sys.argv[1]) if len(sys.argv) > 1 else Path(__file__).parent, made_files())
