from __future__ import annotations

import pytest

from takestats.records.columns import COLUMNS
from takestats.records.headers import find_header, header_key, read_header


@pytest.mark.parametrize(
    ("typed", "name"),
    [
        ("Grafted", "grafted"), ("  GRAFTS   made ", "grafted"), ("Tray No.", "tray"),
        ("tray_number", "tray"), ("Rootstock", "understock"), ("Date grafted", "graft_date"),
        ("alive", "taken"), ("Take", "taken"), ("Stock dead", "understock_dead"),
        ("Union height (mm)", "union_height_mm"), ("Grafted by", "grafter"), ("Notes", "note"),
        ("# grafted", "grafted"), ("No. alive", "taken"), ("Count date:", "count_date"),
        ("Stock caliber", "understock_caliper_mm"), ("Stock calliper, mm", "understock_caliper_mm"),
    ],
)  # fmt: skip
def test_a_header_is_known_by_any_of_its_names(typed: str, name: str) -> None:
    header = read_header(typed)
    assert (header.name, header.known) == (name, True)


@pytest.mark.parametrize(
    ("typed", "unit"),
    [("Stock caliper (in)", "in"), ("Stock caliper [mm]", "mm"), ("scion caliper, inches", "in"),
     ("understock_caliper_mm", "mm"), ("Stock caliper cm", "cm"), ("Stock caliper", None)],
)  # fmt: skip
def test_the_unit_stands_in_the_header(typed: str, unit: str | None) -> None:
    header = read_header(typed)
    assert header.known
    assert header.unit == unit


@pytest.mark.parametrize(
    ("typed", "order"),
    [("Date grafted (dd/mm/yyyy)", "day first"), ("count date [m/d/y]", "month first"),
     ("count date (2026)", None)],
)  # fmt: skip
def test_the_order_of_a_date_may_stand_in_its_header(typed: str, order: str | None) -> None:
    assert read_header(typed).unit == order


def test_a_header_that_may_mean_two_columns_is_not_known() -> None:
    assert not read_header("Date").known
    assert not read_header("Grade").known


@pytest.mark.parametrize("typed", ["Take %", "% take", "take (%)", "Take percent", "success rate"])
def test_a_percent_is_no_count(typed: str) -> None:
    assert read_header(typed).percent


def test_an_unknown_header_keeps_its_name() -> None:
    header = read_header(" Root  angle ")
    assert (header.name, header.known) == ("Root angle", False)


def test_the_header_is_the_row_that_knows_most_in_the_first_ten() -> None:
    rows = [["A nursery"], [], ["tray", "note"], ["tray", "grafted", "taken"], ["T1", "20", "17"]]
    found = find_header(rows)
    assert found is not None
    assert found[0] == 3
    assert find_header([["a"]] * 10 + [["tray", "grafted", "taken"]]) is None
    assert find_header([["tray", "colour"]]) is None


def test_no_header_means_two_columns() -> None:
    seen: dict[str, str] = {}
    for column in COLUMNS:
        for form in (column.name, *column.synonyms):
            assert seen.setdefault(header_key(form), column.name) == column.name, form


@pytest.mark.parametrize(
    "typed", ["Scion / Stock", "scion on understock", "Combination", "scion/rootstock"]
)
def test_a_header_for_both_plants_is_the_scion_column_to_be_split(typed: str) -> None:
    found = read_header(typed)
    assert found.known
    assert found.name == "scion"
