"""What an order is made from changes while it is read: told in four parts, nothing written."""

from __future__ import annotations

import os
from pathlib import Path

import pytest

from takestats.cli.app import main
from tests.faults.runs import OUT, lay_out
from tests.faults.test_cannot_write import hold_told

ORDER = ["order", "new_seasons.csv", "--trial", "order.toml", "--out", OUT]
SHAPE = b'{"shape": "takestats understock order 1", '


@pytest.mark.parametrize("name", ["new_seasons.csv", "order.toml", "earlier/order.json"])
def test_a_file_that_grows_while_it_is_read(
    name: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    lay_out(tmp_path)
    monkeypatch.chdir(tmp_path)
    assert main(["order", "--trial", "old.toml", "--out", "earlier"]) == 0
    capsys.readouterr()
    real = os.fstat

    def grows(number: int) -> os.stat_result:
        """Another program saves more, each time the file is looked at."""
        state = real(number)
        if os.path.samestat(state, os.stat(name)):
            with open(name, "a", encoding="utf-8") as file:
                file.write("\n")
        return state

    monkeypatch.setattr("takestats.records.file_bytes.os.fstat", grows)
    assert main([*ORDER, "--earlier", "earlier"]) == 2
    said = capsys.readouterr().err
    hold_told(said)
    assert Path(name).name in said
    assert "was changed while it was read" in said
    assert not Path(OUT).exists()


@pytest.mark.parametrize(
    "content",
    [
        b"[" * 100_000,
        SHAPE + b'"table": ' + b"9" * 5_000 + b"}",
        SHAPE + b'"assurance": 0.9, "table": [{"combination": 1}]}',
        SHAPE + b'"assurance": "\\ud800", "table": []}',
        b'["takestats understock order 1"]',
        b"\xff\xfe\x00",
        b"",
    ],
    ids=["deep", "endless number", "half a row", "half a letter", "list", "no text", "empty"],
)
def test_an_earlier_order_that_is_damaged(
    content: bytes,
    tmp_path: Path,
    monkeypatch: pytest.MonkeyPatch,
    capsys: pytest.CaptureFixture[str],
) -> None:
    lay_out(tmp_path)
    monkeypatch.chdir(tmp_path)
    Path("order.json").write_bytes(content)
    words = ["order", "--trial", "new.toml", "--out", OUT, "--earlier"]
    assert main([*words, "order.json"]) == 2
    said = capsys.readouterr().err
    hold_told(said)
    assert "order" in said.splitlines()[0]
    assert not Path(OUT).exists()


@pytest.mark.skipif(not hasattr(os, "mkfifo"), reason="this system has no pipes with a name")
def test_an_earlier_order_that_is_a_pipe_is_not_waited_for(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    lay_out(tmp_path)
    monkeypatch.chdir(tmp_path)
    Path("earlier").mkdir()
    os.mkfifo("earlier/order.json")
    assert main([*ORDER, "--earlier", "earlier"]) == 2
    hold_told(capsys.readouterr().err)
