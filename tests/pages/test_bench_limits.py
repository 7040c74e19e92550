"""What the trays cannot say is said: one tray, no trays, more grafts that would not help."""

from __future__ import annotations

import pandas as pd
import pytest

from takestats.pages.bench_limits import narrowed_by
from takestats.pages.render import page_bytes
from takestats.pages.season_page import season_report
from takestats.records.read import records_from_frame
from tests.pages.page_words import page_words


def _season(counts: dict[str, list[int]], grafted: int = 40, **settings: object):
    frame = pd.DataFrame(
        [
            {"tray": f"{method[:2]}{i}", "method": method, "grafted": grafted, "taken": taken}
            for method, trays in counts.items()
            for i, taken in enumerate(trays)
        ]
    )
    return season_report(records_from_frame(frame, trial=settings))


@pytest.mark.parametrize(
    ("correlation", "grafts", "share"),
    [
        # Without correlation the standard error goes with the root of the grafts: 1 - 1/sqrt(2).
        (0.0, 12, 1 - 0.5**0.5),
        (1.0, 12, 0.0),
        # (1 + 9 x .15) / 10 = .235 once, (1 + 19 x .15) / 20 = .1925 with twice the grafts.
        (0.15, 10, 1 - (0.1925 / 0.235) ** 0.5),
    ],
)
def test_what_twice_the_grafts_would_bring(correlation, grafts, share) -> None:
    assert narrowed_by(correlation, grafts) == pytest.approx(share, abs=1e-12)


def test_more_grafts_are_advised_against_once_and_only_where_they_would_not_help() -> None:
    uneven = _season({"cleft": [38, 12, 30], "side veneer": [35, 20, 39], "splice": [39, 15, 33]})
    assert uneven.in_words().count("More grafts per tray will not help much") == 1
    few = _season({"cleft": [2, 3, 2], "side veneer": [3, 2, 3]}, grafted=4)
    assert "cannot tell them apart" in few.in_words()
    assert "More grafts per tray" not in few.in_words()


def test_one_tray_a_method_is_said_and_no_tray_is_singled_out() -> None:
    report = _season({"cleft": [22], "side veneer": [21], "splice": [32]})
    said = report.in_words()
    assert "Each method has one tray: one tray cannot show how trays of one method differ." in said
    assert "No tray stands far" not in said
    assert "Too few trays in a group" in page_words(page_bytes(report).decode("utf-8"))


def test_a_season_in_one_tray_is_said() -> None:
    assert "All grafts stood in one tray" in _season({"four-flap": [35]}).in_words()


def test_without_trays_every_place_says_so() -> None:
    frame = pd.DataFrame(
        {"method": ["cleft", "side veneer"], "grafted": [240, 240], "taken": [156, 107]}
    )
    report = season_report(records_from_frame(frame, trial={"records": {"trays": "none"}}))
    words = page_words(page_bytes(report).decode("utf-8"))
    assert "No trays are recorded: grafts are counted as if independent" in report.in_words()
    assert "cleft | 156 of 240 | not recorded | 65 %" in words
    assert "cleft | 65 % (59 to 71) | not recorded | 240 | 156" in words
    assert "No trays are recorded, so every graft counts as if it stood alone" in words
    assert "Four models are fitted" not in words
    assert "small tick" not in words
    assert "not recorded and not recorded" not in words
    assert "nan" not in words.replace("tenant", "")
    assert "in nan" not in words
