"""Files that are too large, packed to burst, or made to deceive are refused in four parts.

The limits are our own: far above the largest season that was tried (25,000 grafts), and, where a
spreadsheet has one, the spreadsheet's (ECMA-376 names none; 1,048,576 rows and 32,767 characters
are from memory).
"""

from __future__ import annotations

import io
import os
import struct
import time
import zipfile
from collections.abc import Callable
from pathlib import Path

import openpyxl
import pandas as pd
import pyarrow as pa
import pyarrow.parquet as pq
import pytest

from takestats.errors import FileError, SettingsError, TakeError
from takestats.records import limits
from takestats.records.read import read_records, records_from_frame
from takestats.records.settings import read_trial

HEAD = "tray,method,grafted,taken\n"
MOST_SECONDS = 5.0
MAIN = "http://schemas.openxmlformats.org/spreadsheetml/2006/main"


def sound_book() -> bytes:
    book = openpyxl.Workbook()
    assert book.active is not None
    for row in (["tray", "method", "grafted", "taken"], ["T1", "cleft", 20, 17]):
        book.active.append(row)
    out = io.BytesIO()
    book.save(out)
    return out.getvalue()


def book_with(changes: dict[str, bytes], more: dict[str, bytes] | None = None) -> bytes:
    """A sound workbook with other contents in some of its parts."""
    out = io.BytesIO()
    with (
        zipfile.ZipFile(io.BytesIO(sound_book())) as old,
        zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED) as new,
    ):
        for name in old.namelist():
            new.writestr(name, changes.get(name, old.read(name)))
        for name, content in (more or {}).items():
            new.writestr(name, content)
    return out.getvalue()


SHEET = "xl/worksheets/sheet1.xml"


def sheet_of(rows: str) -> bytes:
    return f'<worksheet xmlns="{MAIN}"><sheetData>{rows}</sheetData></worksheet>'.encode()


def cell(text: str, at: str) -> str:
    return f'<c r="{at}" t="inlineStr"><is><t>{text}</t></is></c>'


def two_gigabytes_claimed() -> bytes:
    """The directory at the end says that the sheet unpacks to two gigabytes."""
    data = bytearray(sound_book())
    at = data.rindex(SHEET.encode()) - 46  # the entry of the directory begins 46 bytes earlier
    assert data[at : at + 4] == b"PK\x01\x02"
    data[at + 24 : at + 28] = struct.pack("<I", 2**31)
    return bytes(data)


def more_than_claimed() -> bytes:
    """A sheet of 40 million bytes of which the directory admits only as many as it had."""
    data = bytearray(book_with({SHEET: sheet_of(" " * 40_000_000)}))
    at = data.rindex(SHEET.encode()) - 46
    data[at + 24 : at + 28] = struct.pack("<I", 500)
    return bytes(data)


def locked_part() -> bytes:
    data = bytearray(sound_book())
    for at in range(len(data) - 4):
        if data[at : at + 4] == b"PK\x01\x02":
            data[at + 8] |= 1
    return bytes(data)


def packed_otherwise() -> bytes:
    out = io.BytesIO()
    with (
        zipfile.ZipFile(io.BytesIO(sound_book())) as old,
        zipfile.ZipFile(out, "w", zipfile.ZIP_BZIP2) as new,
    ):
        for name in old.namelist():
            new.writestr(name, old.read(name))
    return out.getvalue()


LAUGHS = (
    '<?xml version="1.0"?><!DOCTYPE l [<!ENTITY a "ha">'
    + "".join(
        f'<!ENTITY {b} "{f"&{a};" * 10}">' for a, b in zip("abcdefgh", "bcdefghi", strict=True)
    )
    + f']><worksheet xmlns="{MAIN}"><sheetData><row><c t="str"><v>&i;</v></c></row></sheetData>'
    "</worksheet>"
).encode()
OUTSIDE = (
    '<?xml version="1.0"?><!DOCTYPE l [<!ENTITY a SYSTEM "file:///etc/hostname">]>'
    f'<worksheet xmlns="{MAIN}"><sheetData><row><c t="str"><v>&a;</v></c></row></sheetData>'
    "</worksheet>"
).encode()
ROWS = f'<row r="1">{cell("tray", "A1")}{cell("grafted", "B1")}{cell("taken", "C1")}</row>'


def below(cells: str, row: str = "2") -> bytes:
    """A workbook with a header and one row below it."""
    return book_with({SHEET: sheet_of(f'{ROWS}<row r="{row}">{cells}</row>')})


OLDER = b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1"
"""How the container of older and of locked workbooks begins."""

BOOKS: list[tuple[str, Callable[[], bytes], str]] = [
    ("zip bomb, size claimed", lambda: book_with({}, {"xl/b.xml": b"\0" * 4_000_000}), "packed"),
    ("two gigabytes claimed", two_gigabytes_claimed, "2,147 million bytes, packed"),
    ("more than claimed", more_than_claimed, "not a workbook"),
    ("many parts", lambda: book_with({}, {f"p{n}": b"" for n in range(2_100)}), "2,1"),
    ("many cells", lambda: book_with({SHEET: sheet_of("<c/>" * 8_100_000)}), "about 2,0"),
    ("entities that unfold", lambda: book_with({SHEET: LAUGHS}), "document type"),
    ("an entity from outside", lambda: book_with({SHEET: OUTSIDE}), "document type"),
    (
        "entities in UTF-16",
        lambda: book_with({"xl/styles.xml": LAUGHS.decode().encode("utf-16")}),
        "document type",
    ),
    (
        "letters that hide signs",
        lambda: book_with({SHEET: b'<?xml version="1.0" encoding="cp037"?><a/>'}),
        "letters that no workbook uses",
    ),
    ("a long cell", lambda: below(cell("x" * 40_000, "A2")), "40,000 characters"),
    ("a row without end", lambda: below("", "999999999"), "beyond row 1,048,576"),
    ("rows not in order", lambda: below("", "1"), "do not stand in order"),
    ("wide", lambda: below(cell("x", "BZZ2")), "cells in one row"),
    ("locked part", locked_part, "locked with a password"),
    ("packed otherwise", packed_otherwise, "packed as no spreadsheet packs"),
    ("locked whole", lambda: OLDER + bytes(600), "or of an older kind"),
    ("no workbook", lambda: b"PK\x03\x04" + bytes(range(256)), "not a workbook"),
]  # fmt: skip


def refused(path: Path, **more: object) -> TakeError:
    begun = time.process_time()
    with pytest.raises(FileError) as told:
        read_records(path, **more)  # type: ignore[arg-type]
    assert time.process_time() - begun < MOST_SECONDS
    for part in (told.value.where, told.value.what, told.value.rule, told.value.next_step):
        assert part
    return told.value


@pytest.mark.parametrize(("name", "make", "said"), BOOKS, ids=[name for name, *_ in BOOKS])
def test_a_workbook_that_would_burst_or_deceive(
    tmp_path: Path,
    name: str,
    make: Callable[[], bytes],
    said: str,
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    if name.startswith("zip bomb"):  # as large a one as is quick to pack
        monkeypatch.setattr(limits, "MOST_UNPACKED", 3_000_000)
    path = tmp_path / "b.xlsx"
    path.write_bytes(make())
    told = refused(path)
    assert said in told.told()
    assert told.where.startswith("b.xlsx")
    assert "Traceback" not in told.told()


def test_the_book_they_are_made_from_is_read(tmp_path: Path) -> None:
    path = tmp_path / "b.xlsx"
    path.write_bytes(book_with({}))
    assert read_records(path).trays["taken"].tolist() == [17.0]


@pytest.mark.parametrize(
    ("name", "content", "where", "said"),
    [
        ("a.csv", "tray,grafted,taken\n" + "," * 20_000 + "1\n", "a.csv, row 2", "20,001 cells"),
        ("a.csv", ",".join(f"c{n}" for n in range(20_000)) + "\n1,2\n", "a.csv, row 1", "20,000"),
        ("a.csv", HEAD + ("," * 900 + "\n") * 3_000, "a.csv", "about 2,70"),
        ("a.csv", HEAD + f"T1,{'x' * 40_000},20,17\n", "a.csv, row 2, column 2", "40,000 char"),
        ("a.csv", HEAD + f"T1,{'x' * 140_000},20,17\n", "a.csv, row 2", "on and on"),
        ("a.csv", HEAD + '"T1,cleft,20,17\nT2,cleft,20,17\n', "a.csv, row 2", "goes on to the end"),
        ("a.csv", HEAD + "T1,(((((" + "(" * 30_000 + ",20,17\n", "", ""),
    ],
    ids=[
        "wide row",
        "wide header",
        "many blanks",
        "long cell",
        "endless",
        "open quote",
        "brackets",
    ],
)
def test_a_text_table_that_is_too_large(
    tmp_path: Path, name: str, content: str, where: str, said: str
) -> None:
    path = tmp_path / name
    path.write_text(content, "utf-8")
    if not where:
        assert read_records(path).trays["taken"].tolist() == [17.0]
        return
    told = refused(path)
    assert told.where == where
    assert said in told.what


def test_blanks_at_the_end_of_a_wide_row_are_no_columns(tmp_path: Path) -> None:
    path = tmp_path / "a.csv"
    path.write_text(HEAD + "T1,cleft,20,17" + "," * 5_000 + "\n", "utf-8")
    assert read_records(path).trays["taken"].tolist() == [17.0]


def test_garbage_and_nothing_are_no_tables(tmp_path: Path) -> None:
    path = tmp_path / "a.csv"
    for content, said in (
        (bytes(range(256)) * 40, "not text"),
        (b"\x1f\x8b\x08rest", "not text"),
        (b"", "is empty"),
        (b"\xef\xbb\xbf", "is empty"),
        (b"\xff\xfe", "is empty"),
    ):
        path.write_bytes(content)
        assert said in refused(path).told()


def test_the_older_kind_of_workbook_is_told_how_to_be_saved(tmp_path: Path) -> None:
    path = tmp_path / "season.xls"
    path.write_bytes(OLDER)
    told = refused(path)
    assert ".xls" in told.what
    assert "save it as .xlsx" in told.next_step


def test_a_large_file_is_not_even_read(tmp_path: Path) -> None:
    path = tmp_path / "a.csv"
    with path.open("wb") as file:
        file.truncate(limits.MOST_BYTES + 1)  # a hole: nothing is stored
    told = refused(path)
    assert "200 million bytes" in told.what


def test_a_pipe_and_a_folder_are_no_files(tmp_path: Path) -> None:
    os.mkfifo(tmp_path / "a.csv")
    assert "pipe" in refused(tmp_path / "a.csv").what
    (tmp_path / "b.csv").mkdir()
    assert "folder" in refused(tmp_path / "b.csv").what
    assert "no such file" in refused(tmp_path / "c.csv" / "d.csv").what
    assert "cannot be opened" in refused(tmp_path / ("x" * 300 + ".csv")).what
    assert "cannot be opened" in refused(Path("a\x00.csv")).what


def test_a_file_that_changes_while_it_is_read(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    path = tmp_path / "a.csv"
    path.write_text(HEAD + "T1,cleft,20,17\n", "utf-8")
    real, seen = os.fstat, []

    def grows(number: int) -> os.stat_result:
        if seen:
            with path.open("a", encoding="utf-8") as file:
                file.write("T2,cleft,20,17\n")
        seen.append(number)
        return real(number)

    monkeypatch.setattr("takestats.records.file_bytes.os.fstat", grows)
    told = refused(path)
    assert told.what == "the file was changed while it was read"
    assert "saved" in told.next_step


def test_parquet_that_is_damaged_nested_or_too_large(tmp_path: Path) -> None:
    path = tmp_path / "a.parquet"

    def written(table: pa.Table, **options: object) -> bytes:
        out = io.BytesIO()
        pq.write_table(table, out, **options)
        return out.getvalue()

    sound = pa.table({"tray": ["A"], "grafted": [20], "taken": [17]})
    path.write_bytes(written(sound))
    assert read_records(path).trays["taken"].tolist() == [17.0]
    size = len(written(sound))
    for at in (size - 5, size - 20, size - 100):  # the footer, its length, its end
        broken = bytearray(written(sound))
        broken[at] ^= 0xFF
        path.write_bytes(bytes(broken))
        try:
            read_records(path)
        except TakeError as told:
            assert told.next_step  # noqa: PT017
    path.write_bytes(written(sound)[:-9])
    assert "not a parquet" in refused(path).what
    path.write_bytes(written(sound.append_column("shots", pa.array([[1, 2]]))))
    assert '"shots" holds lists' in refused(path).what
    wide = pa.table({f"c{n}": ["x"] for n in range(1_200)})
    path.write_bytes(written(wide))
    assert "1,200 cells in one row" in refused(path).what
    many = pa.table({"tray": pa.array([1] * 2_100_000, pa.int8())})
    path.write_bytes(written(many))
    assert "2,100,000 cells" in refused(path).what
    long = pa.table({"tray": ["x" * 100_000] * 3, "grafted": [20] * 3, "taken": [17] * 3})
    path.write_bytes(written(long))
    assert "100,000 characters" in refused(path).what


def test_a_frame_of_other_things(tmp_path: Path) -> None:
    frame = pd.DataFrame({"tray": [["A"], {"b": 1}], "grafted": [20, 20], "taken": [17, 15]})
    assert records_from_frame(frame).trays["tray"].tolist() == ["['A']", "{'b': 1}"]
    half = pd.DataFrame({"tray": ["A\ud800"], "grafted": [20], "taken": [17]}, dtype=object)
    with pytest.raises(FileError, match="half a letter"):
        records_from_frame(half)


@pytest.mark.parametrize(
    ("content", "said"),
    [
        ("a = " + "[" * 100_000 + "]" * 100_000, "too many levels deep"),
        ("title = '" + "x" * 1_100_000 + "'", "1,100,010 bytes of settings"),
        ("seed = " + "9" * 5_000, "cannot be read"),
        ("title = 'a\ntitle", "cannot be read"),
        ("\x00", "cannot be read"),
        ("title = 1\ntitle = 2", "cannot be read"),
    ],
    ids=["deep", "huge", "endless number", "open text", "no text", "twice"],
)
def test_settings_that_are_too_deep_or_too_large(tmp_path: Path, content: str, said: str) -> None:
    path = tmp_path / "trial.toml"
    path.write_text(content, "utf-8")
    with pytest.raises((FileError, SettingsError)) as told:
        read_trial(path)
    assert said in told.value.told()
    assert told.value.where == "trial.toml"
