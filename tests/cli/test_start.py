"""Does ``takestats start`` ask, write one workbook, and never write over another?"""

from __future__ import annotations

import io
import json
from pathlib import Path

import pytest

from takestats.cli.app import main
from takestats.records.read import read_records
from tests.office.filled import ANSWERS, OPTIONS, fill, tray


@pytest.fixture
def folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.chdir(tmp_path)
    return tmp_path


def typed(monkeypatch: pytest.MonkeyPatch, *lines: str) -> None:
    monkeypatch.setattr("sys.stdin", io.StringIO("\n".join(lines) + "\n"))


def test_enter_takes_every_default(
    folder: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    typed(monkeypatch, *[""] * 11)
    assert main(["start", "bench"]) == 0
    out, err = capsys.readouterr()
    assert err == ""
    assert "What do you compare?" in out
    assert "[cleft, side veneer]" in out
    assert "Workbook: bench/records.xlsx" in out
    assert "Not drawn by lot" in out
    assert out.splitlines()[-1] == (
        "Next: fill in a row for each tray while you graft; then run "
        "`takestats check bench/records.xlsx`."
    )
    assert main(["start", "scripted", "--no-questions"]) == 0
    assert Path("bench/records.xlsx").read_bytes() == Path("scripted/records.xlsx").read_bytes()


def test_questions_and_options_make_the_same_workbook(
    folder: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    said = [ANSWERS.get(key, "") for key in ("title", "question", "compare")]
    said += ["", "", "tray"]  # grafts and standard by default
    said += [ANSWERS[key] for key in ("record", "plants", "names", "tray_size")]
    said += ["", ANSWERS["classes"], "yes"]
    typed(monkeypatch, *said)
    assert main(["start", "asked"]) == 0
    assert main(["start", "given", *OPTIONS, "--no-questions"]) == 0
    assert Path("asked/records.xlsx").read_bytes() == Path("given/records.xlsx").read_bytes()


def test_an_answer_that_cannot_be_used_is_asked_again(
    folder: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    typed(monkeypatch, "", "", "methud", "", "whip", "", *[""] * 8)
    assert main(["start", "bench"]) == 0
    out = capsys.readouterr().out
    assert 'Is it "method"?' in out
    assert "Write one of: splice or whip-and-tongue." in out
    assert out.count("What do you compare?") == 2


def test_an_option_that_cannot_be_used_is_two_and_writes_nothing(
    folder: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(["start", "bench", "--no-questions", "--methods", "whip"]) == 2
    assert capsys.readouterr().err.startswith('--methods: "whip"\n  Rule: ')
    assert list(folder.iterdir()) == []


def test_questions_without_anybody_at_the_keyboard(
    folder: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.setattr("sys.stdin", io.StringIO(""))
    assert main(["start", "bench"]) == 2
    assert "add --no-questions" in capsys.readouterr().err
    assert list(folder.iterdir()) == []


def test_it_never_writes_over_a_file(folder: Path, capsys: pytest.CaptureFixture[str]) -> None:
    (folder / "bench").mkdir()
    kept = folder / "bench" / "records.xlsx"
    kept.write_bytes(b"a winter of records")
    assert main(["start", "bench", "--no-questions"]) == 2
    assert capsys.readouterr().err == (
        "bench/records.xlsx: there is already a file of this name\n"
        "  Rule: A record workbook is never written over.\n"
        "  Next: Name another folder, or give that file another name first.\n"
    )
    assert kept.read_bytes() == b"a winter of records"


def test_a_folder_that_cannot_be_made_is_one(
    folder: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    (folder / "bench").write_text("a file stands here", encoding="utf-8")
    assert main(["start", "bench", "--no-questions"]) == 1
    assert "Next:" in capsys.readouterr().err
    assert [path.name for path in folder.iterdir()] == ["bench"]


def test_stopped_between_questions_writes_nothing(
    folder: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    def stop() -> str:
        raise KeyboardInterrupt

    monkeypatch.setattr("builtins.input", stop)
    assert main(["start", "bench"]) == 130
    assert "Stopped." in capsys.readouterr().err
    assert list(folder.iterdir()) == []


def test_season_asks_less_and_has_no_trial(
    folder: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    typed(monkeypatch, *[""] * 6)
    assert main(["start", "bench", "--season"]) == 0
    out = capsys.readouterr().out
    assert "What do you compare?" not in out
    assert "Not drawn by lot" not in out


def test_json(folder: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["start", "bench", "--json", "--tray-size", "30"]) == 0
    said = json.loads(capsys.readouterr().out)
    assert said["written"] == ["bench/records.xlsx"]
    assert said["settings"]["bench.tray_size"] == "30"
    assert "method" in said["columns"]
    assert said["layout"].startswith("takestats record workbook 2 ")


@pytest.mark.parametrize("trays", [0, 3, 12])
def test_the_workbook_goes_back_through_check_clean(
    folder: Path, trays: int, capsys: pytest.CaptureFixture[str]
) -> None:
    """Empty (said, no error), half filled, filled by a script."""
    assert main(["start", "bench", *OPTIONS, "--json"]) == 0
    columns = json.loads(capsys.readouterr().out)["columns"]
    path = folder / "bench" / "records.xlsx"
    fill(path, columns, [tray(i, counted=trays == 12) for i in range(1, trays + 1)])
    before = path.read_bytes()
    assert main(["check", "bench/records.xlsx", "--on", "2026-07-01"]) == 0
    out, err = capsys.readouterr()
    assert err == ""
    assert path.read_bytes() == before
    if not trays:
        assert out.startswith("Nothing grafted yet: records.xlsx, sheet records has its headings")
        assert "0 grafted, 100 wanted, 100 left." in out
        return
    assert out.startswith("No faults found.")
    assert "not read" not in out
    records = read_records(path)
    assert len(records.trays) == trays
    assert set(records.trays["caliper_match"]) == {"scion thinner"}
    assert records.trays["relation"].iloc[0] == "same genus"


def test_the_full_workbook_makes_a_season_page(
    folder: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(["start", "bench", *OPTIONS, "--json"]) == 0
    columns = json.loads(capsys.readouterr().out)["columns"]
    fill(folder / "bench" / "records.xlsx", columns, [tray(i, counted=True) for i in range(1, 13)])
    assert main(["report", "bench/records.xlsx", "--out", "page"]) == 0
    assert Path("page/season_page.html").is_file()
