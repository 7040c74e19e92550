"""What a check says, word by word, and a message for each count and number of trays."""

from __future__ import annotations

import pytest

from takestats.wording.check import (
    counted_line,
    due_lines,
    due_rule,
    made_line,
    nothing_grafted,
    verdict,
    wanted_line,
)


def test_verdicts() -> None:
    assert verdict(1, 2, 3) == (
        "1 fault to put right; 3 rows left out of the tally below; "
        "2 cells to look at, kept as typed."
    )
    assert nothing_grafted("records.xlsx, sheet records") == (
        "Nothing grafted yet: records.xlsx, sheet records has its headings and no row below them."
    )


def test_many_trays_are_cut_and_counted() -> None:
    names = [f"T{i}" for i in range(1, 16)]
    assert counted_line("settled", 0, names, 15, "tray").endswith("T11, T12 and 3 more.")
    assert made_line("", 1, 1, "tray", cuttings=False) == (
        "Grafted so far, season not recorded: 1 graft in 1 tray."
    )


def test_wanted_lines() -> None:
    assert wanted_line("A on B", 200, 150, 50, 150, 120, 80) == (
        "A on B: 150 grafted, 200 wanted, 50 left; of 150 counted 120 took, "
        "so 80 will be short even if all the others take."
    )
    nan = float("nan")
    assert wanted_line("A on B", nan, 150, nan, 0, 0, nan) == (
        "A on B: 150 grafted, no number wanted is set."
    )


def test_due_lines() -> None:
    assert due_lines("settled", "2026-06-20", [], [], []) == (
        "No tray waits for its settled count.",
    )
    assert due_lines("first", "2026-03-01", [], [("A", "2026-03-05")], ["B"]) == (
        "Due for the first count on 1 March 2026: 0 trays.",
        "Due later: 1 tray, from 5 March 2026 on: A.",
        "No date to reckon from: 1 tray: B. Write the graft date.",
    )


@pytest.mark.parametrize(
    ("given", "said"),
    [
        (("settled", None, 20, 10), "The settled count is due 10 weeks after bud break of the "),
        (
            ("first", None, 8, None),
            "The first count is due 8 weeks after grafting (common practice",
        ),
        (("first", 6.5, 8, None), "The first count is due 6.5 weeks after grafting, by the set"),
    ],
)
def test_the_rule_says_where_it_comes_from(given: tuple[object, ...], said: str) -> None:
    assert due_rule(*given).startswith(said)  # type: ignore[arg-type]
