"""Do the writer and the reader of a record workbook mean the same columns?"""

from __future__ import annotations

from pathlib import Path

import pytest
from openpyxl import Workbook

from takestats.records.columns import COLUMNS
from takestats.records.headers import read_header
from takestats.records.methods import METHODS, read_method
from takestats.records.read import read_records
from takestats.records.workbook_layout import (
    ALWAYS,
    closed_words,
    heading,
    layout_of,
    offered_words,
    sheets_without_records,
    workbook_mark,
)


@pytest.mark.parametrize("unit", ["mm", "in"])
@pytest.mark.parametrize("name", [column.name for column in COLUMNS])
def test_every_heading_is_read_back_as_its_column(name: str, unit: str) -> None:
    written = heading(name, "in" if unit == "in" else "mm")
    header = read_header(written)
    assert (header.known, header.name) == (True, name)
    if "caliper" in name and name.endswith("_mm"):
        assert header.unit == unit


def test_headings_are_all_different() -> None:
    headings = [heading(column.name) for column in COLUMNS]
    assert len(set(headings)) == len(headings)


def test_columns_stand_in_the_order_of_the_declarations_and_once() -> None:
    layout = layout_of(["scion_wood", "method", "method", "tray"])
    order = [column.name for column in COLUMNS]
    assert list(layout.columns) == sorted(layout.columns, key=order.index)
    assert set(layout.columns) == {*ALWAYS, "method", "scion_wood"}


def test_the_fingerprint_changes_with_a_column_and_a_unit() -> None:
    plain = layout_of(["understock_caliper_mm"])
    assert plain.fingerprint == layout_of(["understock_caliper_mm"]).fingerprint
    others = [
        layout_of(["scion_caliper_mm"]),
        layout_of(["understock_caliper_mm"], caliper_unit="in"),
        layout_of([]),
    ]
    assert len({plain.fingerprint, *(other.fingerprint for other in others)}) == 4


def test_every_offered_word_is_read_as_itself() -> None:
    """One of them, "side", is asked about when typed alone, and is offered as "side wedge"."""
    read = [read_method(word, {}).text for word in offered_words("method")]
    assert read == list(METHODS)
    assert set(offered_words("method")) - set(METHODS) == {"side wedge"}
    assert closed_words("method") == ()
    assert closed_words("caliper_match") == ("matched", "scion thinner", "scion thicker")
    assert offered_words("scion", ("a", "b", "a")) == ("a", "b")


def test_a_workbook_is_known_by_its_mark_only() -> None:
    mark = layout_of(["method"]).mark
    rows = [[None, "How to keep these records"], ["1", "One row"], ["Layout", mark]]
    assert workbook_mark({"records": [], "How to": rows}) == mark
    assert sheets_without_records({"records": [], "How to": rows, "lists": []}) == {
        "How to",
        "lists",
    }
    for other in ({"how to": [["1", "One row"]]}, {"notes": rows}, {"how to": [["layout"]]}):
        assert workbook_mark(other) is None
        assert sheets_without_records(other) == frozenset()


def test_a_workbook_of_another_version_is_read_and_said(tmp_path: Path) -> None:
    book = Workbook()
    for row in (["tray", "grafted", "taken"], ["T1", 30, 25]):
        book.active.append(row)
    book.create_sheet("how to").append(["layout", "takestats record workbook 99 0123456789ab"])
    book.save(tmp_path / "later.xlsx")
    records = read_records(tmp_path / "later.xlsx")
    assert records.trays["tray"].tolist() == ["T1"]
    assert (
        "later.xlsx: made by another version (takestats record workbook 99 0123456789ab); "
        "read by its headings." in records.notes
    )


def test_a_sheet_called_lists_in_any_other_workbook_is_read(tmp_path: Path) -> None:
    book = Workbook()
    sheet = book.active
    sheet.title = "lists"
    for row in (["tray", "grafted", "taken"], ["T1", 30, 25]):
        sheet.append(row)
    book.save(tmp_path / "own.xlsx")
    assert read_records(tmp_path / "own.xlsx").trays["tray"].tolist() == ["T1"]
