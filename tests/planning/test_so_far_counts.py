"""The grafts so far, read by the rule: settled or not, all counted or not."""

from __future__ import annotations

import pytest

import takestats as ts
from takestats.errors import DesignError, UnknownLevelError
from takestats.planning.so_far import StagedRule
from takestats.planning.so_far_counts import standing

RULE = StagedRule(first=24, drop_at_or_below=17, total=72, fail_at_or_below=55)
NEW = "Hamamelis mollis on Hamamelis virginiana"


def _records(*rows: tuple[str, int, int | None, str], **settings: object) -> ts.Records:
    import pandas as pd

    frame = pd.DataFrame(
        [
            {
                "tray": f"T{i:02d}",
                "season": "2026",
                "scion": scion,
                "understock": "Hamamelis virginiana",
                "grafted": grafted,
                "taken": taken,
                "count": count or "settled",
                "count_date": None if taken is None else "2026-06-15",
            }
            for i, (scion, grafted, taken, count) in enumerate(rows)
        ]
    )
    return ts.records_from_frame(frame, trial=settings or None)


def test_the_first_stage_decides() -> None:
    got = standing(
        RULE, _records(("Hamamelis mollis", 12, 10, ""), ("Hamamelis mollis", 12, 9, ""))
    )
    assert got.decision == "go on"
    assert got.sentences[0] == "19 of 24 grafts took: go on to 72 grafts in all."
    assert got.sentences[1] == "Counted: all rows, 2 trays, settled count, 15 June 2026."
    low = standing(RULE, _records(("Hamamelis mollis", 12, 8, ""), ("Hamamelis mollis", 12, 9, "")))
    assert low.decision == "drop"


def test_only_the_combination_on_trial_is_added_up() -> None:
    records = _records(("Hamamelis mollis", 24, 20, ""), ("Hamamelis japonica", 24, 2, ""))
    assert standing(RULE, records, NEW).taken == 20
    assert standing(RULE, records, NEW.upper()).taken == 20
    with pytest.raises(UnknownLevelError) as told:
        standing(RULE, records, "Hamamelis vernalis on Hamamelis virginiana")
    assert "Hamamelis mollis on Hamamelis virginiana" in told.value.next_step


def test_a_first_count_never_decides() -> None:
    got = standing(RULE, _records(("Hamamelis mollis", 24, 2, "first")))
    assert got.decision == "wait"
    assert got.sentences[0] == (
        "2 of 24 grafts took: this count is not final: wait for the settled count."
    )


def test_what_is_not_counted_waits() -> None:
    half = standing(
        RULE, _records(("Hamamelis mollis", 12, 2, ""), ("Hamamelis mollis", 12, None, ""))
    )
    assert half.decision == "wait"
    assert half.waiting == 12
    assert "12 grafts in 1 tray are not counted yet and are not in this." in half.sentences
    later = standing(
        RULE, _records(("Hamamelis mollis", 24, 22, ""), ("Hamamelis mollis", 12, None, ""))
    )
    assert later.decision == "go on"
    none = standing(RULE, _records(("Hamamelis mollis", 24, None, "")))
    assert none.decision == "wait"
    assert none.sentences[0] == (
        "Nothing is counted yet: 24 grafts in 1 tray wait for the settled count."
    )


def test_two_seasons_are_read_together_and_that_is_said() -> None:
    records = _records(("Hamamelis mollis", 24, 22, ""), ("Hamamelis mollis", 48, 40, ""))
    trays = records.trays.copy()
    trays.loc[trays.index[1], "season"] = "2027"
    from dataclasses import replace

    got = standing(RULE, replace(records, trays=trays))
    assert got.decision == "keep"
    assert got.sentences[1].endswith("15 June 2026, 2 seasons together.")


def test_dead_understock_counts_by_the_settings_and_too_many_grafts_are_refused() -> None:
    with pytest.raises(DesignError) as told:
        standing(RULE, _records(("Hamamelis mollis", 80, 60, "")))
    assert told.value.where == "grafted"
