"""What did the record sheet of 2025-26 hold on Friday, 13 February 2026?

Run ``python so_far.py`` to write ``so_far_2026_02_13.csv`` beside this script, or
``python so_far.py FOLDER`` to write it elsewhere. It is cut from ``season_2025_26.csv``: one
row for each tray grafted by that day. What could not be known then is blank: bud break and
every count.
"""

from __future__ import annotations

import csv
import sys
from pathlib import Path

from table_files import csv_text, write_files

HERE = Path(__file__).resolve().parent
DAY = "2026-02-13"
MARK = (
    f"INVENTED DATA: season_2025_26.csv as it stood on {DAY} cut by so_far.py. "
    "Known truth in known_truth.csv. No real nursery or cultivar."
)
NOT_KNOWN_YET = (
    "bud_break_date",
    "count_date",
    "taken",
    "understock_dead",
    "missing",
    "saleable",
    "saleable_date",
    "note",
)


def grafted_by(day: str) -> str:
    """Give the text of the table: the trays grafted by this day, none of them counted."""
    lines = (HERE / "season_2025_26.csv").read_text(encoding="utf-8").splitlines()[1:]
    reader = csv.DictReader(lines)
    header = list(reader.fieldnames or ())
    rows: list[list[object]] = [
        ["" if name in NOT_KNOWN_YET else row[name] for name in header]
        for row in reader
        if row["made_by"] == "graft" and row["count"] == "settled" and row["graft_date"] <= day
    ]
    return csv_text(header, rows, mark=MARK)


if __name__ == "__main__":
    folder = Path(sys.argv[1]) if len(sys.argv) > 1 else HERE
    write_files(folder, {"so_far_2026_02_13.csv": grafted_by(DAY)})
