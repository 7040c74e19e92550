"""From tray lines to the lines of a fit: levels as text, nearest spellings, sums."""

from __future__ import annotations

import numpy as np
import pandas as pd
import pytest

from takestats.errors import CountsError, UnknownColumnError
from takestats.models.line_arrays import LineArrays
from takestats.models.lines import as_level, check_columns, make_lines, nearest
from tests.models.small_trials import bench, records_of, two_methods


@pytest.mark.parametrize(
    ("value", "level"),
    [
        (None, None),
        (pd.NA, None),
        (pd.NaT, None),
        (float("nan"), None),
        (8.0, "8"),
        (np.float64(8.0), "8"),
        (8.5, "8.5"),
        (3, "3"),
        ("cleft", "cleft"),
        (True, "True"),
        (pd.Timestamp("2026-02-03"), "2026-02-03"),
    ],
)
def test_a_level_is_text_and_a_blank_stays_blank(value: object, level: str | None) -> None:
    assert as_level(value) == level


def test_the_nearest_word_is_offered_and_long_lists_are_cut() -> None:
    assert nearest("clefft", ["cleft", "splice"]) == "did you mean 'cleft'? (known: cleft, splice)"
    assert nearest("zzz", ["cleft", "splice"]) == "known: cleft, splice"
    assert nearest("zzz", []) == "there is none"
    many = [f"lot {i}" for i in range(30)]
    assert nearest("zzz", many).endswith("lot 11, ...")


@pytest.mark.parametrize("name", ["taken", "tray", "tray_id", "line", "counted", "nothing"])
def test_counts_and_tray_names_are_no_factors(name: str) -> None:
    with pytest.raises(UnknownColumnError) as refused:
        check_columns([name], records_of(two_methods()).trays, "factors")
    assert "method" in refused.value.next_step
    assert "line," not in refused.value.next_step


def test_an_unknown_column_of_the_records_may_be_a_factor() -> None:
    frame = bench({"left": [(17, 20)] * 2, "right": [(15, 20)] * 2}, column="shelf")
    found = make_lines(records_of(frame), ["shelf"], season="auto", count=None, out_of="made")
    assert found.table["shelf"].tolist() == ["left"] * 2 + ["right"] * 2


def test_rows_of_one_tray_and_pattern_are_summed_blanks_apart() -> None:
    frame = pd.concat([two_methods()] * 2, ignore_index=True)
    frame["scion_wood"] = ["terminal"] * 8 + ["sub_terminal"] * 8
    frame["missing"] = [1, None, *[None] * 14]
    found = make_lines(records_of(frame), ["method"], season="auto", count=None, out_of="made")
    one = two_methods()
    assert found.table["grafted"].tolist() == (2 * one["grafted"]).tolist()
    assert found.table["taken"].tolist() == (2 * one["taken"]).tolist()
    assert found.table["tried"].tolist()[0] == 79
    assert found.table["missing"].tolist()[0] == 1
    assert np.isnan(found.table["missing"].tolist()[1])  # not recorded is not 0


def test_the_lines_do_not_touch_the_records() -> None:
    records = records_of(two_methods())
    before = records.trays.copy()
    found = make_lines(records, ["method"], season="auto", count=None, out_of="made")
    found.table["taken"] = 0.0
    pd.testing.assert_frame_equal(records.trays, before)


def test_an_unknown_share_is_refused() -> None:
    with pytest.raises(CountsError, match="made or live_understock"):
        make_lines(records_of(two_methods()), [], season="auto", count=None, out_of="all")


def test_arrays_know_trays_masks_and_patterns() -> None:
    table = make_lines(
        records_of(two_methods()), ["method"], season="auto", count=None, out_of="made"
    ).table
    arrays = LineArrays.of(table, ["method"], ["method"])
    mask = arrays.mask(["method"], ["cleft"])
    assert mask.sum() == 4
    assert arrays.trays(mask) == 4
    assert arrays.trays(slice(None)) == 8
    assert arrays.patterns(["method"])[0] == ("cleft",)
    assert arrays.patterns([]) == [()] * 8
    assert arrays.mask([], []).all()
