"""Is a file with headings and nothing below them told apart from a faulty one?"""

from __future__ import annotations

from pathlib import Path

import pytest

from takestats.errors import FileError
from takestats.records.no_rows import NoRowsError
from takestats.records.read import read_records


def test_it_carries_the_settings_that_were_read(tmp_path: Path) -> None:
    path = tmp_path / "bench.csv"
    path.write_text("tray,grafted,taken\n", encoding="utf-8")
    with pytest.raises(NoRowsError) as stopped:
        read_records(path, trial={"title": "Cleft or veneer", "targets": {"A on B": 100}})
    assert isinstance(stopped.value, FileError)
    assert stopped.value.trial.title == "Cleft or veneer"
    assert stopped.value.trial.targets == {"A on B": 100}
    assert stopped.value.told() == (
        "bench.csv: there is a header and no row below it\n"
        "  Rule: A file of records has at least one row.\n"
        "  Next: Check that the right file was saved."
    )


def test_one_file_with_rows_is_enough(tmp_path: Path) -> None:
    (tmp_path / "a.csv").write_text("tray,grafted,taken\n", encoding="utf-8")
    (tmp_path / "b.csv").write_text("tray,grafted,taken\nT1,30,25\n", encoding="utf-8")
    records = read_records([tmp_path / "a.csv", tmp_path / "b.csv"])
    assert records.trays["tray"].tolist() == ["T1"]
