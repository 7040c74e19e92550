"""What the page on large files says, from numbers made up for it; and the bars, marked slow."""

from __future__ import annotations

from pathlib import Path

import pandas as pd
import pytest

from tests.benchmarks.scale import bars, chart, measured, words

KINDS = ("frame", "csv", "parquet", "shuffled", "fit", "glm")
MADE_UP = pd.DataFrame(
    {
        "rows": [1000, 10_000],
        "trays": [20, 200],
        "load": [0.5, 0.5],
        "frame_mb": [1.0, 100.0],
        **{f"{kind}_seconds": [0.1, 1.0] for kind in KINDS},
        **{f"{kind}_processor": [0.1, 1.0] for kind in KINDS},
        **{f"{kind}_peak_mb": [50.0, 150.0] for kind in KINDS},
    }
)


def test_a_bar_that_is_missed_is_said_to_be_missed() -> None:
    slow = MADE_UP.assign(csv_seconds=[0.1, 3.0], glm_seconds=[1.0, 50.0])
    found = {what: (ratio, met) for what, ratio, _, met in bars(slow.iloc[-1])}
    assert found["csv: seconds, times those of the frame"] == (3.0, False)
    assert found["csv: most memory, times the frame"] == (1.5, True)
    assert found["fit: times faster than the regression"] == (50.0, True)
    assert found["csv to fit: times faster than frame and regression"] == (17.0, False)
    page = words(slow)
    assert page.count("**not met**") == 2
    assert "At 10,000 rows in 200 trays".lower() in page.lower()


def test_the_chart_is_the_same_each_time() -> None:
    assert chart(MADE_UP) == chart(MADE_UP)
    assert "GLM" in chart(MADE_UP)


@pytest.mark.benchmark
def test_ten_million_grafts(tmp_path: Path) -> None:
    table = measured([10_000_000], lambda _: None)
    missed = [what for what, _, _, met in bars(table.iloc[-1])[:-1] if not met]
    assert not missed
