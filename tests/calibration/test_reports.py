"""What the page says of its coverage is what the committed report measured."""

from __future__ import annotations

from pathlib import Path

import pandas as pd
import pytest

from takestats.wording import statistician as words

REPORT = Path(__file__).resolve().parents[2] / "reports" / "calibration.csv"


def lowest(row: str, *targets: str) -> float:
    """Lowest coverage of a row, seed by seed, as a share."""
    table = pd.read_csv(REPORT)
    mine = table[table["row"] == row]
    assert len(mine) > 100
    return float(mine[[f"{target}_coverage" for target in targets]].min().min())


@pytest.mark.parametrize(
    ("said", "row", "targets"),
    [
        (words.HELD_EQUAL, "grid", ("a", "b", "gap")),
        (words.HELD_UNEVEN_TAKE, "unequal", ("a", "b")),
        (words.HELD_UNEVEN_DIFFERENCE, "unequal", ("gap",)),
    ],
)
def test_the_page_claims_no_more_than_was_measured(
    said: int, row: str, targets: tuple[str, ...]
) -> None:
    measured = 100.0 * lowest(row, *targets)
    assert said <= measured
    assert said > measured - 1.0
