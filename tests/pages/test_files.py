"""Files are written whole or not at all, and a folder holds the files of one run."""

from __future__ import annotations

import errno
import os
import shutil
from collections.abc import Callable
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from takestats.errors import FileError
from takestats.pages import files as files_module
from takestats.pages.files import PASSING, write_one, write_whole
from takestats.pages.own_files import MANIFEST

OLD = {"a.html": b"old page", "tables/b.csv": b"old b", "tables/c.csv": b"old c"}
NEW = {"a.html": b"new page", "tables/b.csv": b"new b", "figures/d.svg": b"new d"}


class Killed(BaseException):
    """Stands in for the end of a process: nothing is tidied up after it."""


def found_in(folder: Path) -> dict[str, bytes]:
    """All that a reader sees: hidden files are not looked at."""
    return {
        path.relative_to(folder).as_posix(): path.read_bytes()
        for path in sorted(folder.rglob("*"))
        if path.is_file() and not any(p.startswith(".") for p in path.relative_to(folder).parts)
    }


def kill_at(step: int, monkeypatch: pytest.MonkeyPatch) -> None:
    """End the process at the n-th change of the disk, without any farewell."""
    made = {"steps": 0}

    def counted(change: Callable[..., object]) -> Callable[..., object]:
        def wrapped(*args: object, **options: object) -> object:
            made["steps"] += 1
            if made["steps"] == step:
                raise Killed
            if made["steps"] > step:
                raise Killed  # a dead process does nothing more
            return change(*args, **options)

        return wrapped

    for name in ("write_bytes", "write_text", "mkdir", "unlink", "rmdir"):
        monkeypatch.setattr(f"pathlib.Path.{name}", counted(getattr(Path, name)))
    monkeypatch.setattr(os, "replace", counted(os.replace))
    monkeypatch.setattr(shutil, "rmtree", counted(shutil.rmtree))


def test_all_files_stand_and_nothing_else(tmp_path):
    paths = write_whole(tmp_path / "out", {"a.html": b"x", "tables/b.csv": b"y"})
    assert [path.read_bytes() for path in paths] == [b"x", b"y"]
    found = sorted(
        p.relative_to(tmp_path / "out").as_posix() for p in (tmp_path / "out").rglob("*")
    )
    assert found == [MANIFEST, "a.html", "tables", "tables/b.csv"]


def test_files_of_the_earlier_set_go_and_a_growers_own_stay(tmp_path):
    write_whole(tmp_path, OLD)
    (tmp_path / "tables" / "mine.csv").write_bytes(b"mine")
    (tmp_path / "notes.txt").write_bytes(b"mine too")
    write_whole(tmp_path, NEW)
    own = {"tables/mine.csv": b"mine", "notes.txt": b"mine too"}
    assert found_in(tmp_path) == {**NEW, **own}
    write_whole(tmp_path, {"a.html": b"third"})
    assert found_in(tmp_path) == {"a.html": b"third", **own}
    assert not (tmp_path / "figures").exists()
    assert (tmp_path / "tables").is_dir()


def test_an_old_file_that_was_changed_by_hand_is_kept(tmp_path):
    write_whole(tmp_path, OLD)
    (tmp_path / "tables" / "c.csv").write_bytes(b"old c, with my remarks")
    write_whole(tmp_path, NEW)
    assert found_in(tmp_path) == {**NEW, "tables/c.csv": b"old c, with my remarks"}


@pytest.mark.parametrize(
    ("name", "said"),
    [("tables/b.csv", "changed since it was written"), ("figures/d.svg", "did not write it")],
)
def test_a_growers_own_file_in_the_way_stops_it(tmp_path, name, said):
    write_whole(tmp_path, OLD)
    (tmp_path / name).parent.mkdir(exist_ok=True)
    (tmp_path / name).write_bytes(b"mine")
    before = found_in(tmp_path)
    with pytest.raises(FileError, match=said) as told:
        write_whole(tmp_path, NEW)
    assert told.value.where == str(tmp_path / name)
    assert "--out" in told.value.next_step
    assert found_in(tmp_path) == before
    assert not (tmp_path / PASSING).exists()


def test_a_page_of_ours_without_a_list_may_be_made_again(tmp_path):
    """A folder of an earlier version, or a page that was handed on without its list."""
    head = (
        b"<!doctype html><meta content=\"default-src 'none'; style-src 'unsafe-inline'; "
        b"base-uri 'none'; form-action 'none'\">"
    )
    (tmp_path / "tables").mkdir()
    (tmp_path / "a.html").write_bytes(head)
    (tmp_path / "tables" / "b.csv").write_bytes(b"older")
    write_whole(tmp_path, NEW)
    assert found_in(tmp_path) == NEW
    (tmp_path / "other").mkdir()
    (tmp_path / "other" / "a.html").write_bytes(b"<p>mine</p>")
    with pytest.raises(FileError, match="did not write it"):
        write_whole(tmp_path / "other", NEW)


def test_two_pages_share_a_folder(tmp_path):
    write_whole(tmp_path, OLD)
    write_whole(tmp_path, {"z.html": b"z", "tables/b.csv": b"of z"})
    assert found_in(tmp_path) == {**OLD, "z.html": b"z", "tables/b.csv": b"of z"}
    write_whole(tmp_path, {"a.html": b"again"})
    assert found_in(tmp_path) == {"a.html": b"again", "z.html": b"z", "tables/b.csv": b"of z"}


def test_a_list_that_was_broken_removes_nothing(tmp_path):
    write_whole(tmp_path, {"a.html": b"x"})
    for text in ("", "[]", '{"files": 3}', '{"files": {"a.html": {"../../x": "1"}}}', "[" * 9999):
        (tmp_path / MANIFEST).write_text(text)
        write_whole(tmp_path, {"a.html": b"x"})
        assert found_in(tmp_path) == {"a.html": b"x"}


@pytest.mark.parametrize(
    "name",
    ["../a.html", "/a.html", "a/b/c.csv", "CON", "nul.txt", "tables/aux.csv", "x" * 5000,
     "tables/../a.csv", "a\\b.csv", "é.csv", "", "tables/", ".hidden", "a b.csv", "c:a.csv"],
)  # fmt: skip
def test_no_name_leads_out_of_the_folder(tmp_path, name):
    with pytest.raises(FileError, match="cannot be the name of a file"):
        write_whole(tmp_path / "out", {"a.html": b"x", name: b"y"})
    assert not (tmp_path / "out").exists()


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
    assert not (out / PASSING).exists()


def fails_at(
    change: Callable[..., object], step: int, fault: BaseException
) -> Callable[..., object]:
    made = {"steps": 0}

    def wrapped(*args: object, **options: object) -> object:
        made["steps"] += 1
        if made["steps"] == step:
            raise fault
        return change(*args, **options)

    return wrapped


FULL = OSError(errno.ENOSPC, "No space left on device", "somewhere")
REFUSED = PermissionError(errno.EACCES, "Permission denied", "somewhere")


@pytest.mark.parametrize("fault", [FULL, KeyboardInterrupt()], ids=["full disk", "stop"])
@pytest.mark.parametrize("step", range(1, 5))
def test_a_full_disk_or_a_stop_while_writing_leaves_the_old_set(tmp_path, monkeypatch, step, fault):
    write_whole(tmp_path, OLD)
    with monkeypatch.context() as patch:
        patch.setattr(Path, "write_bytes", fails_at(Path.write_bytes, step, fault))
        with pytest.raises(FileError if fault is FULL else KeyboardInterrupt):
            write_whole(tmp_path, NEW)
    assert found_in(tmp_path) == OLD
    assert not (tmp_path / PASSING).exists()
    write_whole(tmp_path, NEW)
    assert found_in(tmp_path) == NEW


@pytest.mark.parametrize("fault", [REFUSED, KeyboardInterrupt()], ids=["open elsewhere", "stop"])
@pytest.mark.parametrize("step", range(1, 10))
def test_what_stops_the_exchange_is_undone(tmp_path, monkeypatch, step, fault):
    write_whole(tmp_path, OLD)
    with monkeypatch.context() as patch:
        patch.setattr(os, "replace", fails_at(os.replace, step, fault))
        with pytest.raises(FileError if fault is REFUSED else KeyboardInterrupt):
            write_whole(tmp_path, NEW)
    assert found_in(tmp_path) == OLD
    assert not (tmp_path / PASSING).exists()
    write_whole(tmp_path, NEW)
    assert found_in(tmp_path) == NEW


@pytest.mark.parametrize("before", [{}, OLD], ids=["new folder", "used folder"])
def test_killed_at_any_step_the_folder_holds_files_of_one_run(tmp_path, monkeypatch, before):
    steps = 0
    while True:
        steps += 1
        out = tmp_path / str(steps)
        if before:
            write_whole(out, before)
        else:
            out.mkdir()
        (out / "mine.txt").write_bytes(b"mine")
        ended = False
        with monkeypatch.context() as patch:
            kill_at(steps, patch)
            try:
                write_whole(out, NEW)
                ended = True
            except Killed:
                pass
        left = found_in(out)
        assert left.pop("mine.txt") == b"mine"
        old = {name: text for name, text in left.items() if before.get(name) == text}
        assert left == old or left.items() <= NEW.items()
        if "a.html" in left:  # where the page stands, all of it stands
            whole = before if left["a.html"] == b"old page" else NEW
            assert left.items() >= whole.items()
        write_whole(out, {"a.html": b"next", "tables/c.csv": b"next c"})
        assert found_in(out) == {"a.html": b"next", "tables/c.csv": b"next c", "mine.txt": b"mine"}
        assert not (out / PASSING).exists()
        if ended:
            break
    assert steps > 15


def test_a_killed_run_is_finished_by_the_next_one_even_if_that_is_refused(tmp_path, monkeypatch):
    write_whole(tmp_path, OLD)
    with monkeypatch.context() as patch:
        patch.setattr(os, "replace", fails_at(os.replace, 6, Killed()))
        patch.setattr(files_module, "_put_back", fails_at(lambda *_: None, 1, Killed()))
        with pytest.raises(Killed):
            write_whole(tmp_path, NEW)
    assert "a.html" not in found_in(tmp_path)
    (tmp_path / "z.html").write_bytes(b"mine")
    with pytest.raises(FileError):
        write_whole(tmp_path, {"z.html": b"z"})
    assert found_in(tmp_path) == {**NEW, "z.html": b"mine"}


NAMES = st.sampled_from(["a.html", "tables/b.csv", "tables/c.csv", "figures/d.svg", "e.xlsx"])


@given(sets=st.lists(st.lists(NAMES, min_size=1, unique=True), min_size=1, max_size=4))
def test_after_any_runs_the_folder_holds_the_last_set(tmp_path_factory, sets):
    folder = tmp_path_factory.mktemp("runs")
    for number, names in enumerate(sets):
        files = {"page.html": b"page", **{name: f"{number} {name}".encode() for name in names}}
        write_whole(folder, files)
        assert found_in(folder) == files


def test_a_new_folder_is_taken_away_again_when_nothing_was_written(tmp_path, monkeypatch):
    def full(self, data):
        raise OSError(28, "No space left on device", str(self))

    monkeypatch.setattr("pathlib.Path.write_bytes", full)
    with pytest.raises(FileError):
        write_whole(tmp_path / "out", {"a.html": b"x"})
    assert not (tmp_path / "out").exists()
    with pytest.raises(FileError):
        write_one(tmp_path / "out" / "a.html", b"x")
    assert not (tmp_path / "out").exists()


def test_a_stop_from_the_keyboard_leaves_nothing_behind(tmp_path, monkeypatch):
    def stopped(source, target):
        raise KeyboardInterrupt

    monkeypatch.setattr("os.replace", stopped)
    with pytest.raises(KeyboardInterrupt):
        write_whole(tmp_path / "out", {"a.html": b"x"})
    assert not (tmp_path / "out").exists()
    with pytest.raises(KeyboardInterrupt):
        write_one(tmp_path / "out" / "a.html", b"x")
    assert not (tmp_path / "out").exists()


def test_one_file_is_written_over_an_older_one(tmp_path):
    assert write_one(tmp_path / "out" / "a.md", b"old").read_bytes() == b"old"
    assert write_one(tmp_path / "out" / "a.md", b"new").read_bytes() == b"new"
    assert found_in(tmp_path / "out") == {"a.md": b"new"}
    (tmp_path / "folder.md").mkdir()
    with pytest.raises(FileError, match="a folder stands"):
        write_one(tmp_path / "folder.md", b"x")
