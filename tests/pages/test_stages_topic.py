"""The stages on the page: what stands there, what is left out, how long it takes."""

from __future__ import annotations

import time
from typing import Any, cast

import numpy as np
import pandas as pd
import pytest

from takestats.pages.gather import gather
from takestats.pages.gathered import Gathered
from takestats.pages.parts import Cells, Picture, Points
from takestats.pages.stages_topic import stages_topic
from takestats.pages.topic import Topic
from takestats.records.read import records_from_frame
from tests.pages.small_seasons import SETTINGS, rows


def gathered(frame: pd.DataFrame) -> Gathered:
    known = records_from_frame(frame, trial=SETTINGS)
    return gather(known, ["method"], only="method", say=lambda step: None)


@pytest.fixture(scope="module")
def topic() -> Topic:
    frame = pd.DataFrame(rows())
    taken = frame["taken"].astype(float)
    frame["saleable"] = np.floor(taken * 0.8)
    frame["saleable_date"] = frame["count_date"].str.replace("06-16", "10-05")
    frame["alive_later"] = taken.where(frame["season"] == "2025") - 1
    frame["later_count_date"] = frame["season"].where(frame["season"] == "2025") + "-12-01"
    found = stages_topic(gathered(frame), "INVENTED DATA.", lambda step: None)
    assert found is not None
    return found


def blocks(topic: Topic, key: str, kind: type) -> list[Any]:
    section = next(section for section in topic.sections if section.key == key)
    return [block for block in section.blocks if isinstance(block, kind)]


def test_the_tables_say_level_by_level_what_is_recorded(topic: Topic) -> None:
    table = cast("Cells", blocks(topic, "stages", Cells)[0])
    assert table.caption == "Stages by method, season 2026"
    assert "alive later, of those that took" not in table.header
    assert [row[0] for row in table.rows] == ["all grafts", "cleft", "side veneer"]
    assert table.rows[1] == (
        "cleft", "81 % (66 to 90)", "194 of 240", "78 % (72 to 84)", "63 % (52 to 73)",
        "152 of 194", "8 of 8",
    )  # fmt: skip
    assert "Alive later: not recorded." in blocks(topic, "stages", Points)[-1].items


def test_the_season_that_has_a_later_count_is_shown_on_its_own(topic: Topic) -> None:
    table = cast("Cells", blocks(topic, "alive-later", Cells)[0])
    assert {row[1] for row in table.rows} == {"2025"}
    assert table.rows[0][3:] == ("91 of 95", "4 trays of 4", "1 December 2025")


def test_the_chart_is_drawn_when_it_is_asked_for(topic: Topic) -> None:
    picture = cast("Picture", blocks(topic, "stages", Picture)[0])
    chart = picture.draw()
    assert chart.sentence.startswith("INVENTED DATA. From graft to saleable plant, season 2026")
    later = cast("Picture", blocks(topic, "alive-later", Picture)[0]).draw()
    assert "season 2025" in later.sentence


def test_the_bench_hears_of_a_clear_loss_only(topic: Topic) -> None:
    assert topic.bench == (
        "Of 100 that took, 79 were saleable (95 % confidence interval 74 to 82; 318 of 405 in 16 "
        "trays, counted 5 October 2026).",
    )
    frame = pd.DataFrame(rows())
    every = stages_topic(gathered(frame.assign(saleable=frame["taken"])), "", lambda step: None)
    assert every is not None
    assert every.bench == ()


def test_no_word_of_tests_or_of_other_programs(topic: Topic) -> None:
    words = str([block for section in topic.sections for block in section.blocks]).lower()
    words += " ".join((*topic.notes, *topic.bench)).lower()
    for word in ("significan", "p-value", "odds", "nan", " ~ "):
        assert word not in words


def test_without_a_further_count_there_is_no_topic() -> None:
    assert stages_topic(gathered(pd.DataFrame(rows())), "", lambda step: None) is None


def test_the_tables_hold_every_season_at_full_precision(topic: Topic) -> None:
    tables = {name: table for name, _, table in topic.tables}
    assert set(tables) == {
        "stages", "stages_by_method", "stages_by_combination", "later_failures_by_relation",
    }  # fmt: skip
    assert sorted(set(tables["stages"]["season"])) == ["2025", "2026"]


def test_a_large_season_is_quick() -> None:
    """800 trays of 60 combinations; the bar leaves room for a busy core."""
    from takestats.answers.first_count import first_against_settled
    from takestats.answers.later_failures import later_failures
    from takestats.answers.stage_lines import stage_lines
    from takestats.answers.stages import stage_shares

    rng = np.random.default_rng(1)
    taken = rng.integers(15, 30, 800)
    frame = pd.DataFrame(
        {
            "season": "2026",
            "tray": [f"T{i}" for i in range(800)],
            "method": np.where(np.arange(800) % 2, "cleft", "side veneer"),
            "scion": [f"Acer rubrum 'No {i % 60}'" for i in range(800)],
            "understock": "Acer rubrum",
            "grafted": 30,
            "taken": taken,
            "saleable": taken - 2,
            "alive_later": taken - 1,
            "later_count_date": "2027-04-20",
        }
    )
    known = records_from_frame(frame)
    start = time.process_time()
    lines = stage_lines(known)
    for by in (None, "method", "combination"):
        stage_shares(lines, by)
        first_against_settled(lines, by)
    later_failures(lines)
    assert time.process_time() - start < 1.0
