"""Does the page of a check say what the screen says, escaped, with its tables beside it?"""

from __future__ import annotations

import datetime as dt
from pathlib import Path

import pandas as pd

from takestats.pages.check_facts import CheckFacts, check_facts, nothing_yet
from takestats.pages.check_page import check_report, write_check
from takestats.records.no_rows import NoRowsError
from takestats.records.read import records_from_frame
from tests.pages.page_words import page_words
from tests.pages.small_seasons import small_records

DAY = dt.date(2026, 7, 1)


def faulty() -> CheckFacts:
    rows = [
        {"tray": "A", "method": "cleft", "grafted": 30, "taken": "38?", "note": "<b>loud</b>"},
        {"tray": "B", "method": "SV", "grafted": 30, "taken": 28, "note": ""},
        {"tray": "<i>C</i>", "method": "cleft", "grafted": 30, "taken": None, "note": ""},
    ]
    return check_facts(records_from_frame(pd.DataFrame(rows), set_aside=True), DAY)


def test_the_page_says_what_the_sentences_say(tmp_path: Path) -> None:
    facts = check_facts(small_records(), DAY)
    paths = write_check(facts, tmp_path)
    assert [path.name for path in paths] == [
        "check.html",
        "check_tables.xlsx",
        "problems.csv",
        "changes.csv",
        "wanted.csv",
        "due.csv",
    ]
    words = page_words(paths[0].read_text("utf-8"))
    for sentence in check_report(facts).sentences:
        assert sentence.replace("\u00a0", " ") in words
    assert words.index("INVENTED DATA") < words.index("No faults found.")
    assert "Where the season stands" in words
    assert "Knives" in words
    for path in paths[2:]:
        assert "INVENTED DATA" in path.read_text("utf-8-sig").splitlines()[0]


def test_faults_are_listed_and_markup_stays_text(tmp_path: Path) -> None:
    facts = faulty()
    assert facts.errors == 1
    paths = write_check(facts, tmp_path)
    page = paths[0].read_text("utf-8")
    assert "38?" in page
    assert "<b>loud" not in page
    assert "<i>C" not in page
    assert "&lt;i&gt;C" in page
    assert "set_aside.csv" in {path.name for path in paths}
    assert "side veneer" in (tmp_path / "tables" / "changes.csv").read_text("utf-8-sig")
    assert "38?" in (tmp_path / "tables" / "problems.csv").read_text("utf-8-sig")


def test_nothing_grafted_is_a_page_too(tmp_path: Path) -> None:
    trial = records_from_frame(
        pd.DataFrame([{"tray": "A", "grafted": 1, "taken": 1}]),
        trial={"title": "Bench", "targets": {"A on B": 70}},
    ).trial
    facts = nothing_yet(NoRowsError(where="records.xlsx", trial=trial), DAY)
    words = page_words(write_check(facts, tmp_path)[0].read_text("utf-8"))
    assert "Nothing grafted yet: records.xlsx has its headings" in words
    assert "Bench: check of the records" in words
    assert "70" in words
    assert "Due for a count" not in words


def test_cuttings_and_rows_without_trays_are_told_as_such() -> None:
    rows = [
        {"grafted": 30, "taken": 20, "made_by": "graft", "season": "2026"},
        {"grafted": 40, "taken": 20, "made_by": "cutting", "season": "2026"},
    ]
    records = records_from_frame(pd.DataFrame(rows), trial={"records": {"trays": "none"}})
    assert check_facts(records, DAY).made == (
        "Grafted so far, season 2026: 30 grafts in 1 row.",
        "Cuttings struck, season 2026: 40 cuttings in 1 row.",
        "  Counted (settled count): 2 rows. Not counted yet: 0 rows.",
    )
