"""Files are written whole or not at all."""

from __future__ import annotations

import pytest

from takestats.errors import FileError
from takestats.pages.files import write_whole


def test_all_files_stand_and_nothing_else(tmp_path):
    paths = write_whole(tmp_path / "out", {"a.html": b"x", "tables/b.csv": b"y"})
    assert [path.read_bytes() for path in paths] == [b"x", b"y"]
    found = sorted(
        p.relative_to(tmp_path / "out").as_posix() for p in (tmp_path / "out").rglob("*")
    )
    assert found == ["a.html", "tables", "tables/b.csv"]


def test_a_file_in_the_way_of_the_folder_is_told_in_four_parts(tmp_path):
    (tmp_path / "out").write_text("x")
    with pytest.raises(FileError) as told:
        write_whole(tmp_path / "out", {"a.html": b"x"})
    assert str(tmp_path / "out") in told.value.where
    assert told.value.next_step


def test_when_one_cannot_be_written_the_old_ones_stay(tmp_path):
    out = tmp_path / "out"
    write_whole(out, {"a.html": b"old"})
    (out / "tables").mkdir()
    (out / "tables" / "b.csv").mkdir()
    with pytest.raises(FileError):
        write_whole(out, {"a.html": b"new", "tables/b.csv": b"y"})
    assert (out / "a.html").read_bytes() == b"old"
    assert not [p for p in out.rglob("*") if ".part" in p.name]


def test_a_new_folder_is_taken_away_again_when_nothing_was_written(tmp_path, monkeypatch):
    def full(self, data):
        raise OSError(28, "No space left on device", str(self))

    monkeypatch.setattr("pathlib.Path.write_bytes", full)
    with pytest.raises(FileError):
        write_whole(tmp_path / "out", {"a.html": b"x"})
    assert not (tmp_path / "out").exists()


def test_a_stop_from_the_keyboard_leaves_nothing_behind(tmp_path, monkeypatch):
    def stopped(source, target):
        raise KeyboardInterrupt

    monkeypatch.setattr("os.replace", stopped)
    with pytest.raises(KeyboardInterrupt):
        write_whole(tmp_path / "out", {"a.html": b"x"})
    assert not (tmp_path / "out").exists()
