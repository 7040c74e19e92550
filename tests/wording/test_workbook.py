"""What the workbook says in its cells and on its how-to sheet, word by word."""

from __future__ import annotations

from takestats.wording.workbook import (
    caution_lines,
    how_to_lines,
    not_a_date,
    not_in_list,
    not_whole,
    not_within,
    parts_not_within,
)


def test_how_to_in_about_ten_lines() -> None:
    lines = how_to_lines(file="records.xlsx", text_cells=("tray", "union height"), lines_ready=200)
    assert 9 <= len(lines) <= 12
    assert lines[0] == (
        "One row per tray. Two treatments in one tray: one row each, with the same tray name."
    )
    assert "tray and union height." in lines[2]
    assert [line for line in lines if line.startswith("Blank is not 0.")]
    assert all(len(line) <= 180 for line in lines)


def test_the_four_cautions_are_there_and_no_product_is_named() -> None:
    text = " ".join(caution_lines())
    for words in ("Knives", "label", "recommends none", "breeders' rights", "plant passport"):
        assert words in text


def test_messages() -> None:
    assert not_in_list("scion wood", closed=True) == (
        "This word is not in the list for scion wood. Take one from the list."
    )
    assert not_whole("buds", 1, 30) == (
        "buds is a whole number from 1 to 30. Leave it blank if it is not known."
    )
    assert not_within("saleable", "taken") == (
        "saleable is a whole number, 0 or more, and not more than taken. Fill in taken first."
    )
    assert parts_not_within(("taken", "understock dead", "missing"), "grafted") == (
        "Whole numbers only. taken, understock dead and missing together cannot be more than "
        "grafted. Fill in grafted first."
    )
    assert not_a_date("graft date", "") == (
        "graft date is a date such as 3 Feb 2026. A month alone may be kept as text: 'Feb 2026."
    )
