"""Is the committed page of columns the one that the declarations make?"""

from __future__ import annotations

from pathlib import Path

from takestats.pages.column_reference import column_reference, write_column_reference
from takestats.records.columns import COLUMNS
from takestats.records.known_settings import SETTINGS
from takestats.records.methods import METHODS
from takestats.wording.column_page import DERIVED
from tests.pages.small_seasons import small_records

COMMITTED = Path(__file__).parents[2] / "reports" / "columns.md"


def test_the_committed_page_is_the_one_that_is_made() -> None:
    """If this fails, run: python -m takestats.pages.column_reference."""
    assert COMMITTED.read_text("utf-8") == column_reference()


def test_every_column_word_graft_and_setting_stands_there() -> None:
    text = column_reference()
    for column in COLUMNS:
        line = next(row for row in text.splitlines() if row.startswith(f"| `{column.name}` |"))
        assert column.meaning in line
        assert all(other in line for other in column.synonyms)
    assert all(f"| `{word}` |" in text for word in METHODS)
    for setting in SETTINGS:
        assert setting.meaning in text


def test_every_table_row_has_as_many_cells_as_its_header() -> None:
    width = 0
    for line in column_reference().splitlines():
        if not line.startswith("|"):
            width = 0
            continue
        cells = line.replace("\\|", "").count("|")
        width = width or cells
        assert cells == width, line


def test_what_is_worked_out_is_there_in_the_trays() -> None:
    trays = small_records().trays
    always = {"combination", "relation", "caliper_ratio", "day_of_season"}
    assert always <= set(trays.columns)
    assert always <= set(DERIVED)


def test_it_is_written_whole(tmp_path: Path) -> None:
    (path,) = write_column_reference(tmp_path)
    assert path.read_text("utf-8") == column_reference()
