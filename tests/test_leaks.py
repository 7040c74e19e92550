"""No output shows how a formula program writes its columns: factors are named in words.

Looked for wherever something can be read: page, tables as CSV and workbook, drawings, JSON,
the screen, and every message that is pinned in a file.
"""

from __future__ import annotations

import csv
import io
import json
import re
import struct
import zipfile
from collections.abc import Iterator
from pathlib import Path
from xml.etree import ElementTree

import pandas as pd
import pytest

from takestats.cli.app import main
from tests.pages.page_words import page_words
from tests.pages.small_seasons import rows

TESTS = Path(__file__).parent
NAMES = (
    "method|scion[_ ]wood|combination|donor|season|caliper[_ ]class|union[_ ]height(?:_mm)?|block|"
    "cleft|side[_ ]veneer|terminal|sub[_-]terminal"
)
LEAK = re.compile(
    rf"\[T\.|(?-i:\bC\()|[\w)\]] ~ [\w(1]|\b(?:{NAMES})(?:\[[^\]]*\])?:[\w\[(]", re.IGNORECASE
)
TRIAL = """\
invented = true
seed = 1
[compare]
factors = ["method"]
[names]
moth = "Hamamelis x intermedia 'Copper Moth'"
virginiana = "Hamamelis virginiana"
[targets]
"moth on virginiana" = 200
[work]
grafts_a_day = 20
days_a_week = 4
window = "2027-01-04 to 2027-01-22"
terminal_pieces = 150
"""


def strings(value: object) -> Iterator[str]:
    """Every key and every text of a JSON value."""
    if isinstance(value, str):
        yield value
    elif isinstance(value, dict):
        for key, item in value.items():
            yield key
            yield from strings(item)
    elif isinstance(value, list):
        for item in value:
            yield from strings(item)


def readable(path: Path) -> Iterator[str]:
    """What can be read in a file."""
    data = path.read_bytes()
    if path.suffix == ".html":
        html = data.decode("utf-8")
        yield page_words(html)
        yield from re.findall(r"<(?:title|desc)[^>]*>(.*?)</", html, flags=re.DOTALL)
        yield from re.findall(r'aria-label="([^"]*)"', html)
    elif path.suffix == ".csv":
        for row in csv.reader(io.StringIO(data.decode("utf-8-sig"), newline="")):
            yield from row
    elif path.suffix == ".xlsx":
        with zipfile.ZipFile(io.BytesIO(data)) as packed:
            root = ElementTree.fromstring(packed.read("xl/sharedStrings.xml"))
            yield from ("".join(entry.itertext()) for entry in root)
            yield packed.read("xl/workbook.xml").decode()
    elif path.suffix == ".svg":
        for element in ElementTree.fromstring(data).iter():
            yield element.text or ""
    else:
        for found in re.finditer(rb"(?:tEXt|iTXt)(?:Title|Description)\0", data):  # of a PNG
            (size,) = struct.unpack(">I", data[found.start() - 4 : found.start()])
            yield data[found.end() : found.start() + 4 + size].decode("utf-8", errors="replace")


@pytest.fixture(scope="module")
def bench(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("leaks")
    frame = pd.DataFrame(rows())
    frame["donor"] = ["bed 1", "bed 2", "bed 2"] * 7
    frame["bench"] = "south"
    frame.to_csv(folder / "bench.csv", index=False)
    (folder / "trial.toml").write_text(TRIAL, encoding="utf-8")
    (folder / "faulty.csv").write_text(
        "season,tray,method,scion_wood,grafted,taken\n2026,T1,cleft,terminal,30,38?\n"
        "2026,T1,wip,tip,30,31\n2026,,cleft,terminal,30,\n",
        encoding="utf-8",
    )
    return folder


COMMANDS = {
    "report": (["report", "bench.csv"], 0),
    "within": (["compare", "bench.csv", "--by", "method", "--within", "scion_wood"], 0),
    "check": (["check", "bench.csv", "--on", "2026-07-01"], 0),
    "order": (["order", "bench.csv"], 0),
    "order refused": (["order", "bench.csv", "--take", "moth=80%,70%,60%"], 2),
    "no such column": (["compare", "bench.csv", "--by", "metod"], 2),
    "no such level": (
        ["compare", "bench.csv", "--by", "method", "--between", "cleft", "saddle"],
        2,
    ),
    "within itself": (["compare", "bench.csv", "--by", "method", "--within", "method"], 2),
    "faults": (["report", "faulty.csv"], 2),
}


@pytest.mark.parametrize("name", COMMANDS)
def test_no_file_and_no_line_of_a_command_leaks(
    bench: Path, name: str, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.chdir(bench)
    words, code = COMMANDS[name]
    out = ["--out", name] if code == 0 else []
    assert main([*words, "--trial", "trial.toml", *out, "--json"]) == code
    said = capsys.readouterr()
    texts = [*strings(json.loads(said.out)), said.err]
    for path in (bench / name).rglob("*") if code == 0 else ():
        if path.is_file():
            texts.append(path.name)
            texts += readable(path)
    assert sum(map(len, texts)) > (20_000 if code == 0 and name != "check" else 100)
    assert [found.group() for text in texts if (found := LEAK.search(text))] == []


@pytest.mark.parametrize(
    "path", sorted(TESTS.rglob("*.txt")), ids=lambda path: str(path.relative_to(TESTS))
)
def test_no_pinned_message_leaks(path: Path) -> None:
    if "node_modules" not in path.parts:
        assert not LEAK.search(path.read_text("utf-8"))


@pytest.mark.parametrize(
    "leak",
    [
        "method[T.cleft]",
        "C(method)",
        "taken ~ method",
        "method:scion_wood",
        "method[cleft]:scion_wood[terminal]",
        "cleft:terminal",
        "Scion wood:method",
    ],
)
def test_the_eye_can_see_a_leak(leak: str) -> None:
    assert LEAK.search(f"some words {leak} and more")


def test_a_sentence_is_no_leak() -> None:
    for said in (
        "Method: side veneer took 6 points more.",
        "method by scion wood",
        "16:30",
        "(~ 3)",
    ):
        assert not LEAK.search(said)
