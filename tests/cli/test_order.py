"""Does ``takestats order`` go from records to a form, and say after the count what to change?"""

from __future__ import annotations

import json
import os
import re
from pathlib import Path

import pytest

from takestats.cli.app import main
from tests.order.small_orders import frame

PINNED = Path(__file__).with_name("order_screens.txt")
TRIAL = """\
title = "Small orders"
invented = true
seed = 3
[names]
moth = "Hamamelis x intermedia 'Copper Moth'"
lamp = "Hamamelis x intermedia 'Last Lamp'"
virginiana = "Hamamelis virginiana"
[targets]
"moth on virginiana" = 200
"lamp on virginiana" = 150
[work]
grafts_a_day = 100
days_a_week = 4
window = "early January to mid March"
terminal_pieces = "moth 150, lamp 400"
sub_terminal_pieces = "moth 60"
"""
TYPED = """\
[targets]
"Betula nigra on Betula pendula" = "100, poor 40%, usual 60%, good 80%"
"""


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Records of three seasons, an order before the last count, and one after it."""
    made = tmp_path_factory.mktemp("order_command")
    rows = frame(combinations=2)
    for year, season in rows.groupby("season"):
        season.to_csv(made / f"season_{year}.csv", index=False)
    (made / "trial.toml").write_text(TRIAL, encoding="utf-8")
    (made / "typed.toml").write_text(TYPED, encoding="utf-8")
    return made


@pytest.fixture(autouse=True)
def here(folder: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(folder)


def seasons(folder: Path) -> list[str]:
    return sorted(path.name for path in folder.glob("season_*.csv"))


def told(args: list[str], capsys: pytest.CaptureFixture[str]) -> str:
    code = main(args)
    said = capsys.readouterr()
    err = re.sub(r"^Working out the order: .*\n", "", said.err, flags=re.MULTILINE)
    return f"$ takestats {' '.join(args)}\n{said.out}{err}(exit {code})\n"


def test_screens_are_pinned(folder: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """Remade by running with TAKESTATS_PIN=1; read the difference like code."""
    files = seasons(folder)
    trial = ["--trial", "trial.toml"]
    runs = [
        ["order", *files[:2], *trial, "--out", "before"],
        ["order", *files, *trial, "--out", "after", "--earlier", "before"],
        ["order", "--trial", "typed.toml", "--assurance", "95%"],
        ["order"],
        ["order", *files, "--out", "no"],
        ["order", files[0], *trial, "--assurance", "90", "--out", "no"],
        ["order", files[0], *trial, "--assurance", "30%", "--out", "no"],
        ["order", files[0], *trial, "--take", "moth on virginiana=60%", "--out", "no"],
        ["order", files[0], *trial, "--take", "moth on virginiana=80%,70%,60%", "--out", "no"],
        ["order", files[0], *trial, "--take", "moth on virginiana=60,70,80", "--out", "no"],
        ["order", files[0], *trial, *["--take", "moth=1%,2%,3%"] * 2, "--out", "no"],
        ["order", files[0], *trial, "--take", "birch=1%,2%,3%", "--out", "no"],
        ["order", files[0], *trial, "--earlier", "nowhere", "--out", "no"],
        ["order", files[0], *trial, "--earlier", "trial.toml", "--out", "no"],
        ["order", "none.csv", *trial, "--out", "no"],
        ["order", files[0], "--trial", "typed.toml", "--take", "x=1%,2%,3%", "--out", "no"],
    ]
    text = "\n".join(told(args, capsys) for args in runs)
    if os.environ.get("TAKESTATS_PIN"):
        PINNED.write_text(text, encoding="utf-8")
    assert text == PINNED.read_text("utf-8")
    assert not Path("no").exists()
    assert text.count("(exit 2)") == len(runs) - 3


def test_json_is_the_order_at_full_precision(
    folder: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    args = ["order", *seasons(folder), "--trial", "trial.toml", "--out", "as_json", "--json"]
    assert main(args) == 0
    said = json.loads(capsys.readouterr().out)
    kept = json.loads(Path("as_json/order.json").read_text("utf-8"))
    written = said.pop("written")
    assert written[0] == "as_json/order_page.html"
    assert said == kept
    assert said["banner"].startswith("INVENTED DATA, seed 3")
    assert said["settings"]["file"] == "trial.toml"
    assert [one["file"] for one in said["sources"]] == seasons(folder)
    assert said["tables"]["weeks"]
    grafts = sum(row["grafts"] for row in said["table"])
    assert said["sentences"][0].startswith(f"Order {grafts} understocks for 2 combinations")


def test_the_page_names_the_command_without_folders(
    folder: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    files = [str(folder / name) for name in seasons(folder)[:1]]
    for out in ("one", "two"):
        assert main(["order", *files, "--trial", str(folder / "trial.toml"), "--out", out]) == 0
    one, two = (Path(name, "order_page.html").read_bytes() for name in ("one", "two"))
    assert one == two
    assert b"takestats order season_" in one
    assert str(folder).encode() not in one


def test_an_earlier_file_that_was_cut_is_told_as_an_option(
    folder: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    Path("cut.json").write_text('{"shape": "takestats understock order 1"}', encoding="utf-8")
    args = ["order", seasons(folder)[0], "--trial", "trial.toml", "--earlier", "cut.json"]
    assert main([*args, "--out", "no"]) == 2
    err = capsys.readouterr().err
    assert "--earlier: no order" in err
    assert "UnderstockOrder" not in err


def test_help_names_every_option(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["order", "--help"]) == 0
    said = capsys.readouterr().out
    for name in ("--trial", "--assurance", "--take", "--earlier", "--out", "--json", "--set-aside"):
        assert name in said
