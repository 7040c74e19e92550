from __future__ import annotations

from typing import Any

import numpy as np
import pandas as pd
import pytest

from takestats.errors import RecordsError, SettingsError, UnknownLevelError
from takestats.records.read import read_records, records_from_frame
from takestats.records.result import Records
from tests.records.planted import graft_sheet, long_sheet, wide_sheet


def read(columns: dict[str, list[Any]], **settings: Any) -> Records:
    return records_from_frame(pd.DataFrame(columns), **settings)


def test_the_wide_shape() -> None:
    records = records_from_frame(pd.DataFrame(wide_sheet(3)))
    assert records.trays["tray_id"].tolist() == ["T1", "T2", "T3"]
    assert records.trays["method"].tolist() == ["side veneer", "cleft", "side veneer"]
    assert records.trays[["taken", "grafted"]].to_numpy().tolist() == [[25.0, 30.0]] * 3
    assert records.counts["count"].tolist() == ["settled", "later"] * 3
    assert records.count == "settled"
    assert records.trays["combination"].iloc[0] == (
        "Hamamelis × intermedia 'Jelena' on Hamamelis virginiana"
    )
    assert records.trays["storage_days"].tolist() == [32.0] * 3
    assert records.trays["caliper_match"].tolist() == ["scion thinner"] * 3
    assert list(records.table["row"]) == [1, 2, 3]


def test_the_long_shape_says_the_same_as_the_wide_one() -> None:
    long = records_from_frame(pd.DataFrame(long_sheet(2)))
    wide = read(
        {"season": ["2026"] * 2, "tray": ["T1", "T2"], "method": ["cleft"] * 2,
         "grafted": [30, 30], "taken": [25, 25], "count_date": ["2026-06-15"] * 2}
    )  # fmt: skip
    pd.testing.assert_frame_equal(long.trays, wide.trays)
    assert long.choose_count("first")["taken"].tolist() == [27.0, 27.0]
    assert long.choose_count(None)["taken"].tolist() == [25.0, 25.0]
    with pytest.raises(UnknownLevelError, match="first, settled"):
        long.choose_count("next spring")


def test_a_later_count_may_leave_the_treatment_blank() -> None:
    sheet = long_sheet(2)
    for row in sheet[2:]:
        row["method"] = row["grafted"] = ""
    records = records_from_frame(pd.DataFrame(sheet))
    assert records.trays["method"].tolist() == ["cleft", "cleft"]
    assert len(records.changes) == 4
    assert records.table["method"].tolist() == ["cleft"] * 4


def test_counts_of_two_dates_are_never_added() -> None:
    records = records_from_frame(pd.DataFrame(long_sheet(2)))
    assert len(records.trays) == 2
    assert records.trays["grafted"].sum() == 60


def test_one_row_per_graft() -> None:
    records = records_from_frame(pd.DataFrame(graft_sheet(3)))
    assert records.trays["grafted"].tolist() == [4.0] * 3
    assert records.trays["taken"].tolist() == [2.0] * 3
    assert len(records.table) == 12


def test_the_position_of_a_graft_in_its_tray_is_neither_a_place_nor_a_treatment() -> None:
    records = read({"tray": ["A"] * 3, "graft": [1, 2, 3], "position": ["a1", "a2", "a3"],
                    "method": ["cleft"] * 3, "taken": [1, 0, 1]})  # fmt: skip
    assert records.trays[["grafted", "taken"]].to_numpy().tolist() == [[3.0, 2.0]]
    assert records.table["position"].tolist() == ["a1", "a2", "a3"]


def test_a_graft_without_a_count_in_a_counted_tray_is_missing() -> None:
    records = read({"tray": ["A"] * 3, "graft": [1, 2, 3], "taken": ["yes", "no", None]})
    line = records.trays.iloc[0]
    assert (line["grafted"], line["taken"], line["missing"]) == (3.0, 1.0, 1.0)
    assert records.problems["kind"].tolist() == ["query"]
    assert records.changes["typed"].tolist() == ["yes", "no"]


def test_a_tray_nobody_has_counted_is_kept_and_listed() -> None:
    records = read({"tray": ["A", "B"], "grafted": [20, 20], "taken": [17, None]})
    assert records.problems.empty
    assert records.trays["counted"].tolist() == [True, False]
    assert records.counts["tray"].tolist() == ["A"]
    assert any("B" in note and "not counted yet" in note for note in records.notes)
    assert "1 are not counted yet" in records.in_words()


def test_blank_is_not_nought() -> None:
    records = read({"tray": ["A", "B"], "grafted": [9, 9], "taken": [7, 8], "missing": [None, 0]})
    assert np.isnan(records.trays["missing"].iloc[0])
    assert records.trays["missing"].iloc[1] == 0


def test_several_lines_of_one_tray() -> None:
    records = read(
        {"tray": ["A", "A", "B"], "method": ["cleft", "SV", "cleft"], "grafted": [10, 10, 20],
         "taken": [9, 8, 15]}
    )  # fmt: skip
    assert records.trays["tray_id"].tolist() == ["A", "A", "B"]
    assert records.trays["line"].tolist() == [0, 1, 2]


def test_unknown_columns_are_kept_and_make_lines() -> None:
    records = read(
        {"tray": ["A", "A"], "root": ["BEAN", "CUCUMBER"], "grafted": [10, 10], "taken": [9, 8]}
    )
    assert records.trays["root"].tolist() == ["BEAN", "CUCUMBER"]
    assert any('"root"' in note for note in records.notes)


def test_a_percent_beside_the_counts_parts_no_lines() -> None:
    columns = {"tray": ["A", "A"], "grafted": [20, 20], "taken": [17, 16], "take %": [85, 80]}
    with pytest.raises(RecordsError, match="other numbers"):
        read(columns)


def test_a_date_in_a_column_nobody_knows_is_kept_as_it_is_shown() -> None:
    days = pd.to_datetime(["2026-02-03", "2026-02-04"])
    records = read({"tray": ["A", "B"], "grafted": [9, 9], "taken": [7, 7], "moved": list(days)})
    assert records.trays["moved"].tolist() == ["2026-02-03", "2026-02-04"]
    assert records.changes.empty


def test_rows_set_aside_are_named_sheet_by_sheet() -> None:
    columns = {"tray": list("ABCD"), "grafted": [9] * 4, "taken": ["7", "?", "all", "8"]}
    notes = read(columns, set_aside=True).notes
    assert "2 rows were set aside because of faults: data frame rows 2, 3." in notes


def test_trays_may_be_none_by_choice_only() -> None:
    columns = {"length": ["long", "short"], "grafted": [240, 240], "taken": [156, 107]}
    with pytest.raises(RecordsError, match='trays = "none"'):
        read(columns)
    records = read(columns, trial={"records": {"trays": "none"}})
    assert records.no_trays
    assert records.trays["tray_id"].tolist() == ["line 1", "line 2"]
    assert any("too narrow" in note for note in records.notes)


def test_the_count_is_the_settled_one_else_the_latest_that_all_have() -> None:
    def count_of(names: list[str]) -> str:
        return read({"tray": list("ABAB")[: len(names)], "count": names,
                     "grafted": [9] * len(names), "taken": [7] * len(names)}).count  # fmt: skip

    assert count_of(["first", "first", "settled", "settled"]) == "settled"
    assert count_of(["first", "first"]) == "first"
    assert count_of(["first", "first", "season end"]) == "first"
    assert count_of(["first", "first", "later", "later"]) == "later"
    first = read({"tray": ["A"], "count": ["first"], "grafted": [9], "taken": [7]})
    assert "There is no settled count; the first count is used." in first.notes


def test_one_season_under_two_names_is_one_season() -> None:
    records = read({"season": ["2026", "2025/26"], "tray": ["A", "B"], "grafted": [9, 9],
                    "taken": [7, 8]})  # fmt: skip
    assert records.trays["season"].unique().tolist() == ["2025-26"]
    alone = read({"season": ["2026"], "tray": ["A"], "grafted": [9], "taken": [7]})
    assert alone.trays["season"].tolist() == ["2026"]


def test_the_season_is_worked_out_when_absent() -> None:
    records = read({"tray": ["A", "B", "C"], "grafted": [9] * 3, "taken": [7, 7, 7],
                    "graft_date": ["2025-12-20", "Feb 2026", None],
                    "count_date": ["2026-06-01", None, None]})  # fmt: skip
    assert records.trays["season"].tolist() == ["2025-26", "2025-26", "not recorded"]
    assert any("worked out" in note for note in records.notes)


def test_month_precision_is_kept_and_is_never_a_day() -> None:
    records = read({"tray": ["A", "B"], "grafted": [9] * 2, "taken": [7, 7],
                    "graft_date": ["2026-02-03", "Feb 2026"]})  # fmt: skip
    assert records.trays["graft_date"].tolist() == ["2026-02-03", "2026-02"]
    assert records.trays["day_of_season"].tolist()[0] == 0
    assert np.isnan(records.trays["day_of_season"].iloc[1])


def test_a_tray_id_is_no_longer_than_it_must_be() -> None:
    def ids(**keys: list[str]) -> list[str]:
        size = len(keys["tray"])
        return read({**keys, "grafted": [9] * size, "taken": [7] * size}).trays["tray_id"].tolist()

    assert ids(tray=["A", "B"], season=["2025", "2026"]) == ["A", "B"]
    assert ids(tray=["A", "A"], season=["2025", "2026"]) == ["2025 A", "2026 A"]
    assert ids(tray=["A", "A"], trial=["x", "y"], season=["2026"] * 2) == ["x A", "y A"]


def test_setting_aside_is_a_choice_and_is_said() -> None:
    columns = {"tray": ["A", "B"], "grafted": [9, 9], "taken": ["7", "38?"]}
    with pytest.raises(RecordsError) as refused:
        read(columns)
    assert refused.value.problems["value"].tolist() == ["38?"]
    records = read(columns, set_aside=True)
    assert records.trays["tray_id"].tolist() == ["A"]
    assert records.set_aside[["row", "taken", "reason"]].to_numpy().tolist() == [
        [2, "38?", "a fault in taken"]
    ]
    with pytest.raises(RecordsError, match="no row can be used"):
        read({"tray": ["A"], "grafted": [9], "taken": ["all"]}, set_aside=True)


def test_short_names_and_own_words_come_from_the_settings() -> None:
    settings = {"names": {"jelena": "Hamamelis x intermedia 'Jelena'", "virg": "H. stock"},
                "methods": {"whip": "splice"}}  # fmt: skip
    records = read({"tray": ["A"], "scion": ["Jelena"], "understock": ["virg"], "method": ["Whip"],
                    "grafted": [9], "taken": [7]}, trial=settings)  # fmt: skip
    line = records.trays.iloc[0]
    assert line["scion"] == "Hamamelis × intermedia 'Jelena'"
    assert (line["understock"], line["method"]) == ("H. stock", "splice")
    assert set(records.changes["why"]) == {"short name", "word for the graft"}


def test_an_unknown_short_name_is_one_fault_however_many_rows() -> None:
    settings = {"names": {"jelena": "Hamamelis x intermedia 'Jelena'"}}
    columns = {"tray": list("ABC"), "scion": ["diane", "diane", "jelena"], "grafted": [9] * 3,
               "taken": [7] * 3}  # fmt: skip
    with pytest.raises(RecordsError) as refused:
        read(columns, trial=settings)
    assert len(refused.value.problems) == 1
    assert "jelena" in refused.value.problems["rule"].iloc[0]
    kept = read(columns, trial=settings, set_aside=True)
    assert kept.trays["tray_id"].tolist() == ["C"]


def test_fill_down_only_where_the_settings_say_so() -> None:
    columns = {"season": ["2026", None], "method": ["cleft", None], "tray": ["A", "B"],
               "grafted": [9, 9], "taken": [7, None]}  # fmt: skip
    assert read(columns).trays["method"].isna().tolist() == [False, True]
    filled = read(columns, trial={"fill_down": True})
    assert filled.trays["method"].tolist() == ["cleft", "cleft"]
    assert filled.trays["counted"].tolist() == [True, False]  # a count is never filled
    some = read(columns, trial={"fill_down": ["season"]})
    assert some.trays["method"].isna().tolist() == [False, True]
    assert some.changes["why"].tolist() == ["the cell above"]


def test_a_caliper_class_comes_from_its_bounds_and_never_the_other_way() -> None:
    settings = {"classes": {"thin": "6 to 8 mm", "stout": [8, 10]}}
    records = read({"tray": list("ABC"), "stock caliper": ["6", '3/8"', "12"], "grafted": [9] * 3,
                    "taken": [7] * 3}, trial=settings)  # fmt: skip
    assert records.trays["caliper_class"].tolist()[:2] == ["thin", "stout"]
    assert pd.isna(records.trays["caliper_class"].iloc[2])
    typed = read({"tray": ["A"], "caliper_class": ["thin"], "grafted": [9], "taken": [7]},
                 trial=settings)  # fmt: skip
    assert "understock_caliper_mm" not in typed.trays


def test_cuttings_have_neither_method_nor_understock() -> None:
    records = read({"tray": ["A", "B"], "made_by": ["cutting", None], "method": [None, "cleft"],
                    "struck": [20, 20], "rooted": [11, 18]})  # fmt: skip
    assert records.trays["made_by"].tolist() == ["cutting", "graft"]
    assert records.trays["taken"].tolist() == [11.0, 18.0]


def test_invented_records_say_so() -> None:
    columns = {"tray": ["A"], "grafted": [9], "taken": [7]}
    records = read(columns, trial={"invented": True, "seed": 7, "truth": "truth.csv"})
    assert records.invented
    assert records.banner == "INVENTED DATA, seed 7, the known truth is in truth.csv."
    assert read(columns).banner == ""
    with pytest.raises(SettingsError):
        read(columns, trial={"invntd": True})


def test_a_setting_can_ask_for_a_count_that_is_there() -> None:
    frame = pd.DataFrame(long_sheet(2))
    assert records_from_frame(frame, trial={"count": "first"}).trays["taken"].sum() == 54
    with pytest.raises(UnknownLevelError):
        records_from_frame(frame, trial={"count": "later"})


def test_the_frame_that_was_given_is_not_changed() -> None:
    frame = pd.DataFrame(wide_sheet(2))
    before = frame.copy()
    records_from_frame(frame)
    pd.testing.assert_frame_equal(frame, before)


def test_filling_down_a_column_that_is_not_there_is_said() -> None:
    columns = {"tray": ["A"], "grafted": [9], "taken": [7]}
    notes = read(columns, trial={"fill_down": ["methd"]}).notes
    assert any('"methd"' in note for note in notes)


def test_a_total_is_never_the_cell_above() -> None:
    columns = {"season": ["2026", "Total", None], "tray": ["A", None, "B"], "grafted": [9, 18, 9],
               "taken": [7, 7, 7]}  # fmt: skip
    records = read(columns, trial={"fill_down": True}, set_aside=True)
    assert records.trays["season"].tolist() == ["2026", "2026"]


def test_two_thousand_trays_are_read_in_a_moment() -> None:
    import time

    sheet = pd.DataFrame(wide_sheet(2000))
    sheet.loc[:499, "taken"] = [f"{i}?" for i in range(500)]
    start = time.process_time()
    records = records_from_frame(sheet, set_aside=True)
    assert len(records.problems) == 500
    assert time.process_time() - start < 3  # a guard of ten times what it takes


def _distinct(size: int) -> list[str]:
    return [f"{chr(97 + i % 26)}{chr(97 + i // 26 % 26)}{i}" for i in range(size)]


@pytest.mark.benchmark
@pytest.mark.parametrize(
    ("column", "cells", "settings"),
    [
        ("scion_wood", _distinct(5000), {}),
        ("method", [f"clef{word}" for word in _distinct(5000)], {}),
        (
            "scion",
            _distinct(5000),
            {"names": {f"short {i}": "Hamamelis mollis" for i in range(40)}},
        ),
        ("understock", _distinct(5000), {}),
        ("understock_dead", ["6"] * 5000, {}),
        ("graft_date", [f"{1 + i % 12}/{1 + i % 9}/2026" for i in range(5000)], {}),
        ("tray", [f"T{i // 2}" for i in range(5000)], {}),
        ("grafter", [w for i in range(2500) for w in (f"aB{i}", f"ab{i}")], {}),
    ],
)
def test_five_thousand_faults_of_any_kind_are_listed_in_five_seconds(
    column: str, cells: list[str], settings: dict[str, Any]
) -> None:
    import time

    sheet = pd.DataFrame(wide_sheet(20_000))
    sheet.loc[:4999, column] = cells
    start = time.process_time()
    records = records_from_frame(sheet, trial=settings, set_aside=True)
    assert len(records.problems) >= 2500
    assert time.process_time() - start < 5


@pytest.mark.benchmark
def test_a_hundred_thousand_trays_and_five_thousand_faults(tmp_path: Any) -> None:
    import time

    sheet = pd.DataFrame(wide_sheet(1)).loc[[0] * 100_000].reset_index(drop=True)
    sheet["tray"] = [f"T{i}" for i in range(100_000)]
    path = tmp_path / "a.csv"
    sheet.to_csv(path, index=False)
    start = time.process_time()
    assert len(read_records(path).trays) == 100_000
    assert time.process_time() - start < 5
    sheet.loc[:4999, "taken"] = [f"{i}?" for i in range(5000)]
    sheet.to_csv(path, index=False)
    start = time.process_time()
    with pytest.raises(RecordsError) as refused:
        read_records(path)
    assert len(refused.value.problems) == 5000
    assert time.process_time() - start < 5
