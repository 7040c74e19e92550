"""Are faults listed as a grower reads them? Text pinned."""

from __future__ import annotations

import pandas as pd

from takestats.cli.fault_list import fault_lines

COLUMNS = ["kind", "file", "sheet", "row", "column", "value", "rule", "next_step"]


def test_faults_stand_by_file_errors_first() -> None:
    problems = pd.DataFrame(
        [
            ["query", "a.csv", pd.NA, 4, "taken", 30, "Alive rose since the count before.", ""],
            ["error", "a.csv", pd.NA, 9, "taken", "38?", "A count is whole.", "Type it again."],
            ["error", "b.xlsx", "2026", 2.0, "tray", "", "A tray needs a name.", "Name it."],
            ["error", "b.xlsx", "2026", pd.NA, pd.NA, pd.NA, "No header found.", "Add one."],
        ],
        columns=COLUMNS,
    )
    assert "\n".join(fault_lines(problems)) == (
        "a.csv\n"
        "  Must be put right (the row cannot be used):\n"
        '    row 9, column taken: "38?"\n'
        "      A count is whole.\n"
        "      Next: Type it again.\n"
        "  Please look at (kept as typed):\n"
        '    row 4, column taken: "30"\n'
        "      Alive rose since the count before.\n"
        "b.xlsx\n"
        "  Must be put right (the row cannot be used):\n"
        "    sheet 2026, row 2, column tray\n"
        "      A tray needs a name.\n"
        "      Next: Name it.\n"
        "    sheet 2026\n"
        "      No header found.\n"
        "      Next: Add one."
    )


def test_no_faults_no_lines() -> None:
    assert fault_lines(pd.DataFrame(columns=COLUMNS)) == []


def test_a_rule_broken_in_many_rows_is_told_once_with_every_row() -> None:
    problems = pd.DataFrame(
        [["error", "a.csv", "", row, "taken", f"3{row}", "Too many.", "Check."]
         for row in range(2, 7)]
        + [["error", "a.csv", "", 3, "tray", "", "Name it.", ""]],
        columns=COLUMNS,
    ).sort_values("row", kind="stable")  # fmt: skip
    assert fault_lines(problems) == [
        "a.csv",
        "  Must be put right (the row cannot be used):",
        '    row 2, column taken: "32"',
        "      Too many.",
        "      Next: Check.",
        '      The same in 4 other rows: 3 "33", 4 "34", 5 "35", 6 "36"',
        "    row 3, column tray",
        "      Name it.",
    ]


def test_no_row_of_thousands_is_lost_and_no_line_is_long() -> None:
    rows = [["error", "a.csv", "", row, "taken", "31", "Too many.", "Check."]
            for row in range(2, 5002)]  # fmt: skip
    lines = fault_lines(pd.DataFrame(rows, columns=COLUMNS))
    assert max(map(len, lines)) <= 100
    told = " ".join(lines)
    assert all(f' {row} "31"' in told for row in range(3, 5002))
