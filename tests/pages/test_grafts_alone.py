"""Cuttings leave the records of the models, with their counts; nothing else does."""

from __future__ import annotations

import pandas as pd

from takestats.pages.grafts_alone import grafts_alone
from takestats.records.read import records_from_frame


def test_cuttings_and_their_counts_are_left_out_and_another_count_can_be_chosen() -> None:
    frame = pd.DataFrame(
        {
            "tray": ["C", "C", "G", "G"],
            "made_by": ["cutting", "cutting", "graft", "graft"],
            "count": ["first", "settled"] * 2,
            "grafted": 20,
            "taken": [4, 3, 19, 17],
        }
    )
    records = records_from_frame(frame)
    alone = grafts_alone(records)
    assert alone.trays["tray"].tolist() == ["G"]
    assert alone.counts["taken"].tolist() == [19.0, 17.0]
    assert alone.choose_count("first")["taken"].tolist() == [19.0]
    assert len(records.trays) == 2


def test_records_of_one_kind_stay_as_they_are() -> None:
    frame = pd.DataFrame({"tray": ["C"], "grafted": [20], "taken": [4]})
    for kind in ("cutting", "graft"):
        records = records_from_frame(frame.assign(made_by=kind))
        assert grafts_alone(records) is records
