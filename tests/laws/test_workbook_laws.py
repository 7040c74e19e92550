"""Whatever is typed into a record workbook by its own rules is read back as it was typed."""

from __future__ import annotations

import datetime as dt
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any

from hypothesis import given, settings
from hypothesis import strategies as st

from takestats.pages.workbook import RecordBook, record_workbook
from takestats.records.read import read_records
from takestats.records.workbook_layout import closed_words, layout_of, offered_words

OPTIONAL = ("method", "scion_wood", "caliper_match", "sealed", "buds", "bench", "donor")
DAYS = st.dates(dt.date(2026, 1, 1), dt.date(2026, 3, 31))
NAMES = st.from_regex(r"[A-Z][0-9]{1,3}([-/][0-9]{1,2})?", fullmatch=True)


@st.composite
def trays(draw: st.DrawFn) -> dict[str, Any]:
    """One tray by the rules: taken, dead and missing are parts of what was grafted."""
    grafted = draw(st.integers(1, 60))
    row: dict[str, Any] = {"grafted": grafted, "graft_date": draw(DAYS)}
    if draw(st.booleans()):
        taken = draw(st.integers(0, grafted))
        dead = draw(st.integers(0, grafted - taken))
        row |= {"taken": taken, "understock_dead": dead, "count_date": dt.date(2026, 6, 15)}
        row["missing"] = draw(st.integers(0, grafted - taken - dead))
    for name in ("scion_wood", "caliper_match", "sealed"):
        row[name] = draw(st.sampled_from(closed_words(name)) | st.none())
    row["method"] = draw(st.sampled_from(offered_words("method")))
    row["buds"] = draw(st.integers(1, 3) | st.none())
    row["donor"] = draw(NAMES | st.none())
    return row


@settings(max_examples=8)
@given(
    rows=st.lists(trays(), min_size=1, max_size=6),
    names=st.lists(NAMES, min_size=6, max_size=6, unique_by=str.lower),
    columns=st.sets(st.sampled_from(OPTIONAL)),
)
def test_a_workbook_filled_by_its_rules_has_no_fault(
    rows: list[dict[str, Any]], names: list[str], columns: set[str]
) -> None:
    layout = layout_of(sorted(columns))
    typed = [
        {name: value for name, value in ({"tray": tray} | row).items() if name in layout.columns}
        for tray, row in zip(names, rows, strict=False)
    ]
    book = RecordBook(file="records.xlsx", layout=layout, settings=(), rows=tuple(typed))
    with TemporaryDirectory() as folder:
        path = Path(folder) / "records.xlsx"
        path.write_bytes(record_workbook(book))
        records = read_records(path)
    assert not (records.problems["kind"] == "error").any()
    assert records.trays["tray"].tolist() == [row["tray"] for row in typed]
    for row, read in zip(typed, records.trays.to_dict("records"), strict=True):
        for name in ("grafted", "taken", "understock_dead", "missing", "buds"):
            if row.get(name) is not None:
                assert read[name] == row[name]
        for name in ("scion_wood", "caliper_match", "sealed", "donor"):
            if row.get(name) is not None:
                assert read[name] == row[name]
        assert read["graft_date"] == row["graft_date"].isoformat()
        assert read["counted"] == ("taken" in row)
