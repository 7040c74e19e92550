"""The page of an order: a form to hand on, its reasons, its tables and its record."""

from __future__ import annotations

import csv
import io
import json
import os
import re
import zipfile
from pathlib import Path
from xml.etree import ElementTree

import openpyxl
import pandas as pd
import pytest

import takestats as ts
from takestats.errors import CountsError, FileError
from takestats.order.order_result import UnderstockOrder
from takestats.pages.order_page import order_files, order_report, order_tables, write_order
from takestats.pages.own_files import MANIFEST
from takestats.wording.cautions import CAUTIONS
from takestats.wording.order_tables import TABLES
from tests.pages.hostile_names import LONG, SCRIPT, TURNED
from tests.pages.orders import HOSTILE, earlier_order, hostile_order, short_order, typed_order
from tests.pages.page_tags import Tags
from tests.pages.page_words import page_words
from tests.pages.test_pages_hostile_names import ALLOWED, OVERRIDE

PINNED = Path(__file__).with_name("order_page_words.txt")
NOT_ALLOWED = re.compile(r"significan|p-value|\bp =|odds ratio|confidence", re.IGNORECASE)


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    made = tmp_path_factory.mktemp("order")
    write_order(short_order(), made, earlier=earlier_order(), command="takestats order FILE")
    return made


@pytest.fixture(scope="module")
def hostile(tmp_path_factory: pytest.TempPathFactory) -> Path:
    made = tmp_path_factory.mktemp("hostile_order")
    write_order(hostile_order(), made)
    return made


def html_of(folder: Path) -> str:
    return (folder / "order_page.html").read_text("utf-8")


def form_of(html: str) -> str:
    words = page_words(html)
    return words[: words.index("Why these numbers")]


def test_words_are_pinned(folder: Path) -> None:
    """Remade by running with TAKESTATS_PIN=1; read the difference like code."""
    typed = order_files(typed_order())["order_page.html"].decode()
    text = f"===== short of wood\n{page_words(html_of(folder))}\n===== typed\n{page_words(typed)}"
    if os.environ.get("TAKESTATS_PIN"):
        PINNED.write_text(text, encoding="utf-8")
    assert text == PINNED.read_text("utf-8")


def test_the_form_comes_first_and_has_what_is_ordered(folder: Path) -> None:
    form = form_of(html_of(folder))
    table = short_order().table
    assert form.index("Order ") < form.index("Short: ") < form.index("Understock to line up")
    for name in table["combination"]:
        assert name in form
    for number in (*table["grafts"], *short_order().wood["pieces"]):
        assert f"{number:,}" in form
    for number in short_order().seedlings["seedlings"].dropna():
        assert f"{number:,.0f}" in form
    assert "Ordered by" in form
    assert not NOT_ALLOWED.search(form)


def test_what_it_rests_on_is_there(folder: Path) -> None:
    words = page_words(html_of(folder))
    for heading in ("The takes behind it", "What is assumed", "What cannot be known"):
        assert words.count(heading) == 2  # in the contents, and where it stands
    assert "INVENTED DATA, seed 3" in words.splitlines()[1]
    for line in CAUTIONS:
        assert line in words
    assert "marked as assumed" in words
    assert "Since the earlier order" in words


def test_the_plan_of_weeks_on_the_form_adds_up_to_what_can_be_made(folder: Path) -> None:
    form = form_of(html_of(folder))
    rows = re.findall(r"^\d+ \w+ \d{4} \| ([\d,]+) \| (.*)$", form, flags=re.MULTILINE)
    assert rows
    for total, parts in rows:
        each = [int(part.split()[0].replace(",", "")) for part in parts.split("; ")]
        assert sum(each) == int(total.replace(",", ""))
    assert short_order().fitted is not None
    made = short_order().fitted.combinations["grafts"].sum()
    assert sum(int(total.replace(",", "")) for total, _ in rows) == made


def test_every_table_is_written_whole(folder: Path) -> None:
    tables = order_tables(short_order(), short_order().changed_since(earlier_order()))
    assert set(tables) <= set(TABLES)
    assert {path.stem for path in (folder / "tables").iterdir()} == set(tables)
    book = openpyxl.load_workbook(folder / "order_tables.xlsx")
    assert len(book.sheetnames) == 1 + len(tables)
    for name, table in tables.items():
        lines = (folder / "tables" / f"{name}.csv").read_text("utf-8-sig").splitlines()
        assert lines[0].lstrip('#" ').startswith("INVENTED DATA, seed 3")
        assert TABLES[name].split(",")[0] in lines[0]
        assert len(lines) == 2 + len(table)


def test_the_record_gives_the_order_back(folder: Path) -> None:
    record = json.loads((folder / "order.json").read_text("utf-8"))
    assert record["shape"] == "takestats understock order 1"
    assert record["tables"]["order"] == record["table"]
    assert list(record["tables"]) == list(TABLES)
    assert record["table"][0]["take_low"] == short_order().table["take_low"][0]
    assert record["met"] is False
    same = short_order().changed_since(record)
    assert (same.table["change"] == 0.0).all()


def test_the_same_order_makes_the_same_bytes(folder: Path) -> None:
    again = order_files(short_order(), earlier=earlier_order(), command="takestats order FILE")
    there = {str(p.relative_to(folder)) for p in folder.rglob("*") if p.is_file()}
    assert set(again) == there - {MANIFEST}
    for name, content in again.items():
        assert (folder / name).read_bytes() == content, name


def test_an_order_from_typed_takes_says_so_and_invents_nothing() -> None:
    files = order_files(typed_order())
    form = form_of(files["order_page.html"].decode())
    assert "at a take of 40 %" in form
    assert "Not recorded, so not on this sheet" in form
    assert "No limit of wood, understock or days was given" in form
    record = json.loads(files["order.json"])
    assert record["met"] is None
    assert record["tables"]["weeks"] == []
    assert record["settings"] is None
    assert "no trays, grafts or count stand behind them" in page_words(
        files["order_page.html"].decode()
    )


def test_an_order_that_fits_says_in_how_many_weeks() -> None:
    order = earlier_order()
    assert order.fitted is not None
    number = order.fitted.table["week"].nunique()
    said = f"It fits the wood, understock and days that were given: done in {number} week"
    assert any(said in words for s in order_report(order).sections for words in s.words)


def test_hostile_names_are_text_on_the_page(hostile: Path) -> None:
    tags = Tags()
    tags.feed(html_of(hostile))
    assert tags.tags <= ALLOWED
    assert tags.handlers == []
    words = page_words(html_of(hostile))
    for text in (SCRIPT, LONG, "<b>EUR", TURNED.replace(OVERRIDE, "\ufffd")):
        assert text in words
    assert OVERRIDE not in html_of(hostile)
    for path in hostile.rglob("*"):
        assert re.fullmatch(r"[a-z0-9_.-]+", path.name), path.name


def test_hostile_names_are_text_in_the_tables(hostile: Path) -> None:
    rows = list(csv.reader(io.StringIO((hostile / "tables" / "order.csv").read_text("utf-8-sig"))))
    assert rows[2][0] == HOSTILE
    with zipfile.ZipFile(hostile / "order_tables.xlsx") as packed:
        for name in packed.namelist():
            root = ElementTree.fromstring(packed.read(name))
            assert not [e for e in root.iter() if e.tag.endswith("}f")], name
    assert json.loads((hostile / "order.json").read_text("utf-8"))["table"][0]["combination"] == (
        HOSTILE
    )


def test_a_formula_of_a_name_is_no_formula(tmp_path: Path) -> None:
    pair = '=HYPERLINK("x","y") on +cmd'
    order = ts.understock_order({pair: (0.4, 0.6, 0.8)}, {pair: 10})
    paths = write_order(order, tmp_path)
    rows = list(csv.reader(io.StringIO((tmp_path / "tables/order.csv").read_text("utf-8-sig"))))
    assert rows[2][0] == f"'{pair}"
    cells = [cell for sheet in openpyxl.load_workbook(paths[1]) for r in sheet for cell in r]
    assert {cell.data_type for cell in cells} <= {"s", "n", "d"}


def test_nothing_is_left_behind_where_it_cannot_be_written(tmp_path: Path) -> None:
    (tmp_path / "order.json").mkdir()
    with pytest.raises(FileError):
        write_order(typed_order(), tmp_path)
    assert [path.name for path in tmp_path.rglob("*")] == ["order.json"]


def test_an_earlier_order_that_is_none_is_refused(tmp_path: Path) -> None:
    with pytest.raises(CountsError, match="no order"):
        write_order(typed_order(), tmp_path / "no", earlier={"table": []})
    assert not (tmp_path / "no").exists()


def test_many_combinations_are_all_on_the_form_and_the_chart_says_what_it_leaves_out() -> None:
    pairs = {f"Acer rubrum 'Ember {n}' on Acer rubrum": (0.4, 0.6, 0.8) for n in range(23)}
    order = ts.understock_order(pairs, dict.fromkeys(pairs, 40))
    html = order_files(order)["order_page.html"].decode()
    assert all(name in form_of(html) for name in pairs)
    assert "The first 20 of 23 combinations are drawn" in page_words(html)


def test_rows_set_aside_are_named() -> None:
    order = typed_order()
    gone = pd.DataFrame({"file": ["a.csv"], "row": [4], "reason": ["taken is above grafted"]})
    made = UnderstockOrder(
        **{
            name: getattr(order, name)
            for name in order.__dataclass_fields__
            if name != "origin"
        },
        origin=type(order.origin)(**vars(order.origin) | {"set_aside": gone}),
    )  # fmt: skip
    html = order_files(made)["order_page.html"].decode()
    assert "taken is above grafted" in page_words(html)
    assert "set_aside" in order_tables(made)
