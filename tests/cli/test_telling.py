"""Is every fault told in four parts, with the right exit code? Text pinned."""

from __future__ import annotations

from pathlib import Path

import pandas as pd
import pytest

from takestats.cli.telling import TaskFailedError, tell, writing_into
from takestats.errors import CountsError, FileError, RecordsError, TakeError


def told(error: BaseException, capsys: pytest.CaptureFixture[str]) -> tuple[int, str]:
    code = tell(error, as_json=False)
    out, err = capsys.readouterr()
    assert out == ""
    return code, err


def a_fault(kind: type[TakeError] = CountsError) -> TakeError:
    return kind(where="taken", what="31 of 30.", rule="no more than made.", next_step="recount.")


def test_bad_input_is_two(capsys: pytest.CaptureFixture[str]) -> None:
    assert told(a_fault(), capsys) == (
        2,
        "taken: 31 of 30.\n  Rule: no more than made.\n  Next: recount.\n",
    )


def test_faulty_records_are_listed_before_the_four_parts(
    capsys: pytest.CaptureFixture[str],
) -> None:
    problems = pd.DataFrame(
        [["error", "a.csv", pd.NA, 9, "taken", "38?", "A count is whole.", "Type it again."]],
        columns=["kind", "file", "sheet", "row", "column", "value", "rule", "next_step"],
    )
    error = RecordsError(
        where="a.csv", what="1 fault.", rule="whole rows.", next_step="mend.", problems=problems
    )
    code, err = told(error, capsys)
    assert code == 2
    assert err.startswith("a.csv\n  Must be put right")
    assert err.endswith("\na.csv: 1 fault.\n  Rule: whole rows.\n  Next: mend.\n")


def test_a_failure_to_write_is_one_and_names_the_place(
    capsys: pytest.CaptureFixture[str],
) -> None:
    with pytest.raises(TaskFailedError) as caught, writing_into(Path("out")):
        raise OSError(28, "No space left on device")
    code, err = told(caught.value, capsys)
    assert code == 1
    assert err == (
        "out: cannot be written (No space left on device).\n"
        "  Rule: the page is written whole into a folder that you may write to, or not at all.\n"
        "  Next: free some space, close the file if it is open, or choose another --out folder.\n"
    )


def test_a_file_error_while_writing_is_one_too(capsys: pytest.CaptureFixture[str]) -> None:
    with pytest.raises(TaskFailedError) as caught, writing_into(Path("out")):
        raise a_fault(FileError)
    assert told(caught.value, capsys)[0] == 1


def test_bad_input_met_while_writing_stays_bad_input() -> None:
    with pytest.raises(CountsError), writing_into(Path("out")):
        raise a_fault()


@pytest.mark.parametrize("error", [MemoryError(), PermissionError(13, "denied", "x.csv")])
def test_the_machine_s_refusals_are_one(
    error: Exception, capsys: pytest.CaptureFixture[str]
) -> None:
    code, err = told(error, capsys)
    assert code == 1
    assert "Rule:" in err
    assert "Next:" in err


def test_a_fault_of_ours_is_owned(
    capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.delenv("TAKESTATS_TRACEBACK", raising=False)
    code, err = told(ZeroDivisionError("division by zero"), capsys)
    assert code == 1
    assert "takestats itself: met something it does not handle (ZeroDivisionError" in err
    assert "Traceback" not in err


def test_who_asks_for_the_traceback_gets_it(
    capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("TAKESTATS_TRACEBACK", "1")
    with pytest.raises(ZeroDivisionError):
        tell(ZeroDivisionError("division by zero"), as_json=False)
