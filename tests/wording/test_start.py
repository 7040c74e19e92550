"""The questions of ``takestats start``, read aloud once and pinned."""

from __future__ import annotations

from takestats.wording.start import ASKS, MEANINGS, OPENING, by_lot_line, done_lines


def test_questions_end_in_a_question_or_say_how_to_answer() -> None:
    for key, question in ASKS.items():
        assert "?" in question, key
        assert len(question) <= 140, key
        assert question.count("(") == question.count(")"), key
    assert ASKS["compare"] == (
        "What do you compare? (method, wood, union height, caliper, understock ...)"
    )
    assert ASKS["randomised"] == "Is it drawn by lot what a tray gets? (tray, half, graft or no)"
    assert all(meaning.endswith(".") for meaning in MEANINGS.values())


def test_what_is_said_before_and_after() -> None:
    assert OPENING == (
        "Press Enter to take the answer in brackets, or - for none; "
        "Ctrl-C stops and writes nothing."
    )
    assert done_lines("bench/records.xlsx", 12, 9) == (
        "Workbook: bench/records.xlsx",
        "  sheet records: 12 columns, one row per tray; lists and checks in the cells",
        "  sheet trial: 9 settings, to be filled in or changed at any time",
        "  sheet how to: how it is filled in, and the cautions",
    )


def test_not_drawn_by_lot_is_said_once_and_only_then() -> None:
    assert by_lot_line("tray") == by_lot_line("graft") == ""
    assert by_lot_line("no").startswith("Not drawn by lot: a difference can then come from the day")
