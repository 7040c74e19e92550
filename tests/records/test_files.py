from __future__ import annotations

import datetime as dt
from pathlib import Path

import openpyxl
import pandas as pd
import pytest

from takestats.errors import FileError, SettingsError
from takestats.records.read import read_records

HEADER = ["tray", "scion", "method", "grafted", "taken"]
ROWS = [
    ["T1", "Hamamelis × 'Été'", "cleft", "20", "17"],
    ["T2", "Hamamelis mollis", "SV", "20", "19"],
]
TEXT = "\n".join(",".join(row) for row in [HEADER, *ROWS]) + "\n"


def taken(path: Path, **settings: object) -> list[float]:
    return read_records(path, **settings).trays["taken"].tolist()  # type: ignore[arg-type]


@pytest.mark.parametrize(
    ("name", "encoding", "said"),
    [
        ("a.csv", "utf-8", None),
        ("a.csv", "utf-8-sig", "a mark in front"),
        ("a.csv", "utf-16", "UTF-16"),
        ("a.csv", "utf-16-le", "UTF-16"),
        ("a.csv", "utf-16-be", "UTF-16"),
        ("a.csv", "cp1252", "Windows-1252"),
    ],
)
def test_letters_are_read_as_they_were_saved(
    tmp_path: Path, name: str, encoding: str, said: str | None
) -> None:
    path = tmp_path / name
    path.write_bytes(TEXT.encode(encoding))
    records = read_records(path)
    assert records.trays["scion"].iloc[0] == "Hamamelis × 'Été'"
    assert any(said in note for note in records.notes) if said else records.notes == ()


@pytest.mark.parametrize("separator", [",", ";", "\t"])
@pytest.mark.parametrize("name", ["a.csv", "a.tsv"])
def test_the_separator_is_found(tmp_path: Path, separator: str, name: str) -> None:
    path = tmp_path / name
    path.write_text(TEXT.replace(",", separator), encoding="utf-8")
    assert taken(path) == [17.0, 19.0]


def test_a_line_that_names_the_separator_is_a_title(tmp_path: Path) -> None:
    path = tmp_path / "a.csv"
    path.write_text("sep=;\n" + TEXT.replace(",", ";"), encoding="utf-8")
    assert taken(path) == [17.0, 19.0]


def test_a_decimal_comma_beside_semicolons(tmp_path: Path) -> None:
    path = tmp_path / "a.csv"
    path.write_text("tray;stock caliper;grafted;taken\nT1;9,5;20;17\n", encoding="utf-8")
    assert read_records(path).trays["understock_caliper_mm"].tolist() == [9.5]


def test_a_quoted_cell_may_hold_the_separator_and_a_new_line(tmp_path: Path) -> None:
    path = tmp_path / "a.csv"
    path.write_text('tray,note,grafted,taken\nT1,"wet, cold\nday",20,17\nT2,,20,99\n', "utf-8")
    records = read_records(path, set_aside=True)
    assert records.problems["row"].tolist() == [3]  # rows of the sheet, not of the text


def workbook(path: Path, sheets: dict[str, list[list[object]]]) -> Path:
    book = openpyxl.Workbook()
    book.remove(book.active)
    for name, rows in sheets.items():
        sheet = book.create_sheet(name)
        for row in rows:
            sheet.append(row)
    book.save(path)
    return path


NUMBERS: list[list[object]] = [
    ["tray", "method", "graft date", "stock caliper", "grafted", "taken"],
    [1, "cleft", dt.datetime(2026, 2, 3), 9.5, 20, 17],
    [2, "SV", dt.datetime(2026, 2, 4), "3/8", 20, 19.0],
]


def test_a_workbook_with_its_settings(tmp_path: Path) -> None:
    path = workbook(
        tmp_path / "b.xlsx",
        {
            "trial": [["what", "value"], ["title", "T"], ["invented", True], ["seed", 3]],
            "bench": NUMBERS,
            "prices": [["pot", 1], ["wax", 2]],
        },
    )
    records = read_records(path)
    assert records.trays["tray_id"].tolist() == ["1", "2"]
    assert records.trays["graft_date"].tolist() == ["2026-02-03", "2026-02-04"]
    assert records.trays["understock_caliper_mm"].tolist() == [9.5, 9.525]
    assert records.trial.title == "T"
    assert records.banner == "INVENTED DATA, seed 3."
    assert "b.xlsx, sheet prices: not read, because it is not a table of records." in records.notes


def test_all_sheets_of_one_shape_or_the_one_that_is_named(tmp_path: Path) -> None:
    other = [NUMBERS[0], [3, "SV", dt.datetime(2026, 2, 4), 9, 20, 15]]
    path = workbook(tmp_path / "b.xlsx", {"week 1": NUMBERS, "week 2": other})
    assert taken(path) == [17.0, 19.0, 15.0]
    assert taken(path, sheet="week 2") == [15.0]
    with pytest.raises(FileError, match="week 1, week 2"):
        read_records(path, sheet="week 3")
    single = [["tray", "graft", "taken"], ["A", 1, 1]]
    mixed = workbook(tmp_path / "c.xlsx", {"week 1": NUMBERS, "grafts": single})
    with pytest.raises(FileError, match="different shapes"):
        read_records(mixed)


def test_a_date_in_a_caliper_or_tray_cell_is_named_and_never_turned_back(tmp_path: Path) -> None:
    rows = [
        ["tray", "stock caliper", "grafted", "taken"],
        ["T1", dt.datetime(2026, 3, 8), 20, 17],
        [dt.datetime(2026, 1, 4), 9, 20, 17],
    ]
    records_path = workbook(tmp_path / "b.xlsx", {"bench": rows, "x": [[None]]})
    records = read_records
    with pytest.raises(Exception, match="turned into a date") as refused:
        records(records_path)
    problems = refused.value.problems  # type: ignore[attr-defined]
    assert problems[["row", "column", "value"]].to_numpy().tolist() == [
        [2, "understock_caliper_mm", "2026-03-08"],
        [3, "tray", "2026-01-04"],
    ]


def test_a_row_longer_than_the_header_is_told_at_the_first_cell_too_many(tmp_path: Path) -> None:
    path = tmp_path / "a.csv"
    path.write_text("tray,stock caliper,grafted,taken\nT1,9,5,20,17\nT2,9,20,17,,\n", "utf-8")
    records = read_records(path, set_aside=True)
    assert records.problems[["row", "column", "value"]].to_numpy().tolist() == [
        [2, "column 5", "17"]
    ]
    assert "decimal comma" in records.problems["next_step"].iloc[0]
    assert records.trays["tray_id"].tolist() == ["T2"]


def test_merged_cells_are_said(tmp_path: Path) -> None:
    book = openpyxl.Workbook()
    book.active.title = "bench"
    for row in (["tray", "method", "grafted", "taken"], ["A", "SV", 9, 7], ["B", None, 9, 7]):
        book.active.append(row)
    book.active.merge_cells("B2:B3")
    path = tmp_path / "b.xlsx"
    book.save(path)
    records = read_records(path)
    assert records.trays["method"].isna().tolist() == [False, True]
    assert any("merged" in note for note in records.notes)


def test_a_locked_workbook_is_told_as_such(tmp_path: Path) -> None:
    path = tmp_path / "b.xlsx"
    path.write_bytes(b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1" + b"\x00" * 600)
    with pytest.raises(FileError, match="locked with a password"):
        read_records(path)


def test_settings_of_several_workbooks_must_agree(tmp_path: Path) -> None:
    def made(name: str, tray: int, title: str) -> Path:
        rows = [NUMBERS[0], [tray, *NUMBERS[1][1:]]]
        return workbook(tmp_path / name, {"trial": [["title", title]], "bench": rows})

    first, same, other = made("a.xlsx", 1, "T"), made("b.xlsx", 2, "T"), made("c.xlsx", 3, "U")
    assert read_records([first, same]).trial.title == "T"
    with pytest.raises(SettingsError, match="differ"):
        read_records([first, other])
    notes = read_records(first, trial={"title": "V"}).notes
    assert any("was not used" in note for note in notes)


def test_parquet_keeps_its_types(tmp_path: Path) -> None:
    path = tmp_path / "a.parquet"
    frame = pd.DataFrame({"tray": ["A", "B"], "grafted": [20, 20], "taken": [17.0, None]})
    frame.to_parquet(path)
    records = read_records(path)
    assert records.trays["counted"].tolist() == [True, False]


def test_several_files_at_once_and_the_same_twice(tmp_path: Path) -> None:
    first, second = tmp_path / "a.csv", tmp_path / "b.csv"
    first.write_text(TEXT, encoding="utf-8")
    second.write_text(TEXT.replace("T1", "T3").replace("T2", "T4"), encoding="utf-8")
    records = read_records([first, second])
    assert records.trays["tray_id"].tolist() == ["T1", "T2", "T3", "T4"]
    assert [name for name, _ in records.sources] == ["a.csv", "b.csv"]
    assert all(len(digest) == 64 for _, digest in records.sources)
    with pytest.raises(FileError, match="named twice"):
        read_records([first, first])


def test_the_source_file_is_never_written(tmp_path: Path) -> None:
    path = tmp_path / "a.csv"
    path.write_text(TEXT, encoding="utf-8")
    before = path.stat()
    read_records(path)
    assert path.read_text("utf-8") == TEXT
    assert path.stat().st_mtime_ns == before.st_mtime_ns


@pytest.mark.parametrize(
    ("name", "content", "said"),
    [
        ("a.csv", b"", "is empty"),
        ("a.csv", b"  \n \n", "is empty"),
        ("a.xlsx", b"", "is empty"),
        ("a.xlsx", b"tray,grafted", "not a workbook"),
        ("a.parquet", b"tray,grafted", "not a parquet"),
        ("a.csv", b"PK\x03\x04rest", "not text"),
        ("a.csv", b"\x89PNG\r\n\x1a\n\x00\x00", "not text"),
        ("a.csv", b"ab\x00\x00cd", "not text"),
        ("a.csv", b"tray,grafted,taken\nT\x81,20,17\n", "cannot be read"),
        ("a.csv", b"Dear Sir,\nthe grafts did well\n", "no header"),
        ("a.csv", b"tray,grafted,taken\n", "no row below"),
        ("a.doc", b"tray,grafted,taken\n", '".doc"'),
    ],
)
def test_what_is_not_a_table_is_refused(
    tmp_path: Path, name: str, content: bytes, said: str
) -> None:
    path = tmp_path / name
    path.write_bytes(content)
    with pytest.raises(FileError) as refused:
        read_records(path)
    assert said in refused.value.told()


def test_a_missing_file_and_a_folder(tmp_path: Path) -> None:
    (tmp_path / "season.csv").write_text(TEXT, encoding="utf-8")
    with pytest.raises(FileError, match=r"season\.csv"):
        read_records(tmp_path / "saeson.csv")
    with pytest.raises(FileError, match="a folder"):
        read_records(tmp_path)
    with pytest.raises(FileError, match="no file"):
        read_records([])
    with pytest.raises(FileError, match="Only a workbook"):
        read_records(tmp_path / "season.csv", sheet="x")
