"""Does a layout know the words that this nursery has for its grafts?"""

from __future__ import annotations

from pathlib import Path

import pytest

import takestats as ts
from takestats.errors import DesignError
from takestats.pages.bench_asked import layout_of_settings
from takestats.records.settings import read_trial
from tests.pages.filled_layout import rows_of_sheet

OWN = {"whip": "whip-and-tongue", "quern cut": "quern cut"}


def test_a_word_of_the_nursery_is_no_longer_asked_about_and_stays_its_word() -> None:
    with pytest.raises(DesignError, match="different grafts in different nurseries"):
        ts.bench_layout({"method": ["whip", "cleft"]}, 2)
    layout = ts.bench_layout({"method": ["whip", "quern cut", "Cleft graft"]}, 2, methods=OWN)
    assert set(layout.table["method"]) == {"whip", "quern cut", "cleft"}


def test_two_words_for_one_graft_are_one_treatment() -> None:
    with pytest.raises(DesignError) as refused:
        ts.bench_layout({"method": ["whip", "whip and tongue"]}, 2, methods=OWN)
    assert "treatments 1 and 2 are the same" in refused.value.told()


def test_a_slip_of_the_pen_is_asked_about_before_it_stands_in_every_row() -> None:
    with pytest.raises(DesignError) as refused:
        ts.bench_layout({"method": ["clefft", "saddle"]}, 2)
    assert refused.value.told() == (
        'treatments: method "clefft"\n'
        "  Rule: This graft is not known, and the records would ask about it in every row.\n"
        '  Next: Is it "cleft"? If it is a word of your own, write it under [methods].'
    )


@pytest.mark.parametrize("methods", [OWN, {"whip": "whip-and-tongue"}])
def test_settings_lay_out_own_words_and_the_workbook_is_read_back_clean(
    methods: dict[str, str], tmp_path: Path
) -> None:
    """A graft that is nowhere explained is written among the methods of the trial sheet."""
    trial = read_trial(
        {
            "methods": methods,
            "bench": {
                "treatments": {"method": ["whip", "quern cut"]},
                "trays_each": 2,
                "tray_size": 20,
                "seed": 4,
            },
        }
    )
    layout = layout_of_settings(trial)
    path = ts.write_bench(layout, tmp_path, trial=trial)[0]
    assert {row["method"] for row in rows_of_sheet(path)} == {"whip", "quern cut"}
    records = ts.read_records(path)
    assert records.problems.empty
    assert records.layout == "matches"
    assert set(records.trays["method"]) == {"whip-and-tongue", "quern cut"}
