"""Curves on the page: known truth in the band, sentences, what is not recorded."""

from __future__ import annotations

import numpy as np
import pandas as pd
import pytest

from takestats.charts.svg import chart_svg
from takestats.pages.along import along, first_day, wanted_curves
from takestats.pages.curves_topic import curves_topic
from takestats.pages.gathered import Gathered
from takestats.pages.parts import Cells, Picture, Points, Section, Words
from takestats.pages.topic import Topic
from tests.pages.bench_season import BEST_MM, SETTINGS, log_odds, season, silent, unfitted


@pytest.fixture(scope="module")
def found() -> Gathered:
    return unfitted(season())


@pytest.fixture(scope="module")
def topic(found: Gathered) -> Topic:
    made = curves_topic(found, "INVENTED DATA.", silent)
    assert made is not None
    return made


def words(section: Section) -> list[str]:
    said: list[str] = []
    for block in section.blocks:
        if isinstance(block, Words):
            said.append(block.text)
        elif isinstance(block, Points):
            said += block.items
    return said


def sections(topic: Topic) -> dict[str, Section]:
    return {section.key: section for section in topic.sections}


def test_the_known_truth_lies_in_the_band_at_five_places(found: Gathered, topic: Topic) -> None:
    """Averaged here over the season's own mix of method and seal."""
    tables = {name: table for name, _, table in topic.tables}
    curve = tables["take_along_understock_caliper_mm"]
    lines = found.trays
    for at in (0, 6, 12, 18, 24):
        row = curve.iloc[at]
        eta = log_odds(lines["method"], row["understock_caliper_mm"], lines["sealed"])
        truth = float(np.mean(1 / (1 + np.exp(-eta))))
        assert row["low"] <= truth <= row["high"], (row["understock_caliper_mm"], truth)
    ends = curve["take_rate"].iloc[[0, -1]].max()
    assert curve["take_rate"].max() > ends + 0.15, "a flat curve would hold anything"


def test_the_window_holds_the_planted_best(topic: Topic) -> None:
    tables = {name: table for name, _, table in topic.tables}
    row = tables["window_along_understock_caliper_mm"].iloc[0]
    assert row["low"] < BEST_MM < row["high"]
    assert row["best_low"] <= BEST_MM <= row["best_high"]
    assert row["possible_low"] > 6.0


def test_the_words_of_the_caliper_section(topic: Topic) -> None:
    """Numbers checked against the tables further up; the text is pinned."""
    section = sections(topic)["along-understock-caliper-mm"]
    assert section.heading == "Along understock caliper"
    assert words(section) == [
        "Understock caliper: between 7.7 and 9.7 mm the take is within 5 points of its best. The "
        "best take, 84 % (95 % confidence interval 78 to 89), lies at 8.8 mm. A value is called "
        "within when that is more likely than not; with nine chances in ten it is so from 8.4 to "
        "9.2 mm. With nine chances in ten, below 7.5 mm and above 9.9 mm more than 5 points are "
        "lost.",
        "Behind it: 48 trays, 1,920 grafts, 31 different values between 6.0 and 11.0 mm. At the "
        "same mix of method; trays of one day share its effect. The curve is drawn where nine "
        "tenths of the trays lie.",
        "Counted at the settled count, 16 June 2026.",
        "Dates and calipers are hardly ever given by lot: what stands here was seen together, not "
        "shown to cause. Wood, stock, weather and hands change along the season as well.",
    ]


def test_the_bench_is_told_where_take_is_lost(topic: Topic) -> None:
    assert topic.bench == (
        "Understock caliper: best near 8.8 mm; below 7.5 mm and above 9.9 mm more than 5 points "
        "are lost, with nine chances in ten (seen together, not shown to cause).",
    )


def test_the_chart_shows_every_tray_with_its_raw_take(found: Gathered, topic: Topic) -> None:
    section = sections(topic)["along-understock-caliper-mm"]
    picture = next(block for block in section.blocks if isinstance(block, Picture))
    chart = picture.draw()
    marks = [
        point
        for line in chart.figure.axes[0].lines
        if line.get_linestyle() == "None"
        for point in zip(line.get_xdata(), line.get_ydata(), strict=True)
    ]
    lines = found.trays
    raw = zip(lines["understock_caliper_mm"].astype(float), lines["taken"] / 40, strict=True)
    assert sorted(marks) == sorted(raw)
    assert chart.sentence.startswith("INVENTED DATA. Understock caliper: between ")
    assert chart.spoken.count("95 % confidence interval") == 5
    assert chart_svg(chart)


def test_five_places_stand_in_a_table(topic: Topic) -> None:
    section = sections(topic)["along-understock-caliper-mm"]
    cells = next(block for block in section.blocks if isinstance(block, Cells))
    assert len(cells.rows) == 5
    assert cells.rows[2][0].endswith(" mm")


def test_what_is_not_recorded_is_said(topic: Topic) -> None:
    assert words(sections(topic)["without-a-curve"]) == [
        "Caliper ratio: not recorded.",
        "Days to bud break: not recorded.",
    ]
    assert "forgiving" not in sections(topic)


def test_along_the_date_trays_of_a_day_still_share_the_day(found: Gathered, topic: Topic) -> None:
    one = along(found, "day_of_season")
    assert not isinstance(one, str)
    assert one.model.grouping == "graft_date"
    said = words(sections(topic)["along-day-of-season"])
    assert said[0].startswith("Date of grafting: ")
    assert "trays of one day share its effect" in said[1]
    assert "16 different values between 5 January and 4 February" in said[1]


def test_a_block_comes_before_the_day() -> None:
    frame = season(16).assign(block=list("AABBCCDD") * 2)
    found = unfitted(frame)
    one = along(found, "day_of_season")
    assert not isinstance(one, str)
    assert one.model.grouping == "block"


def test_two_numbers_that_ran_together_are_fitted_each_by_itself() -> None:
    frame = season(20)
    frame["bud_break_date"] = np.where(np.arange(20) % 3 == 0, "2026-03-23", "2026-03-24")
    wanted = wanted_curves(unfitted(frame))
    assert wanted.drawn[-2:] == ("day_of_season", "days_to_bud_break")
    assert (
        "Date of grafting and days to bud break ran together (correlation -0.99): each is looked "
        "at by itself, and these records cannot tell which of the two matters." in wanted.said
    )


def test_a_number_that_is_another_over_again_is_drawn_once_unless_asked_for() -> None:
    frame = season(16).assign(bud_break_date="2026-03-24")
    wanted = wanted_curves(unfitted(frame))
    assert "days_to_bud_break" not in wanted.drawn
    assert wanted.said[-1].startswith(
        "Days to bud break: ran with date of grafting (correlation -1.00)"
    )
    both = ["day_of_season", "days_to_bud_break"]
    assert wanted_curves(unfitted(frame, curves=both)).drawn == tuple(both)


@pytest.mark.parametrize(
    ("trays", "change", "said"),
    [
        (6, {}, "too few trays for a curve (6 have it recorded; 8 are needed)"),
        (
            16,
            {"understock_caliper_mm": [7.0, 8.0, 9.0, 8.0] * 4},
            "too few values for a curve (3 different ones; 4 are needed)",
        ),
        (16, {"understock_caliper_mm": None}, "not recorded"),
    ],
)
def test_what_carries_no_curve_is_said(trays: int, change: dict[str, object], said: str) -> None:
    wanted = wanted_curves(unfitted(season(trays).assign(**change)))
    assert f"Understock caliper: {said}." in wanted.said
    assert "understock_caliper_mm" not in wanted.drawn


def test_a_month_is_no_place_on_a_curve() -> None:
    wanted = wanted_curves(unfitted(season(16).assign(graft_date="2026-01")))
    assert "Date of grafting: not recorded to the day." in wanted.said


def test_without_trays_grafts_are_counted_as_if_independent() -> None:
    frame = season(16).drop(columns=["tray", "graft_date"])
    settings = {**SETTINGS, "records": {"trays": "none"}}
    topic = curves_topic(unfitted(frame, trial=settings), "", silent)
    assert topic is not None
    said = words(sections(topic)["along-understock-caliper-mm"])[1]
    assert said.startswith("Behind it: trays not recorded, 640 grafts, ")
    assert "grafts are counted as if independent" in said


def test_the_settings_name_the_curves() -> None:
    frame = season(16).assign(warmth=np.linspace(12.0, 24.0, 16))
    assert wanted_curves(unfitted(frame, curves=["warmth"])).drawn == ("warmth",)
    assert wanted_curves(unfitted(frame, curves=[])).drawn == ()
    words_column = wanted_curves(unfitted(frame, curves=["grafter", "<b>x</b>"]))
    assert words_column.said == (
        "Grafter: grafter is not a column of numbers.",
        "<b>x</b>: not recorded.",
    )


def test_without_calipers_and_dates_there_is_no_topic() -> None:
    frame = season(8).drop(columns=["understock_caliper_mm", "graft_date"])
    assert curves_topic(unfitted(frame), "", silent) is None


def test_a_tray_without_a_caliper_is_left_out_and_counted() -> None:
    frame = season(16)
    frame.loc[:1, "understock_caliper_mm"] = None
    found = unfitted(frame)
    one = along(found, "understock_caliper_mm")
    assert not isinstance(one, str)
    assert one.blank == 2
    assert one.model.trays == 14


def test_the_first_day_is_that_of_the_season() -> None:
    trays = pd.DataFrame({"graft_date": ["2026-01-09", "2026-01-12"], "day_of_season": [3.0, 6.0]})
    assert first_day(trays) == "2026-01-06"
    assert first_day(trays.assign(day_of_season=np.nan)) == ""


def test_which_species_forgive_stands_with_its_rule() -> None:
    frame = season(32).drop(columns=["understock_caliper_mm", "graft_date"])
    frame["caliper_match"] = np.where(np.arange(32) // 4 % 2 == 0, "matched", "scion thinner")
    frame["scion"] = np.where(np.arange(32) < 16, "Acer griseum", "Carpinus betulus")
    topic = curves_topic(unfitted(frame), "", silent)
    assert topic is not None
    section = sections(topic)["forgiving"]
    said = " ".join(words(section))
    assert "A scion thinner than its understock: " in said
    assert "The rule: a species forgives when the whole 95 % confidence interval" in said
    assert "seen together, not shown to cause" in said
    table = topic.tables[0][2]
    assert table["scion_species"].tolist() == ["Acer griseum", "Carpinus betulus"]
    assert table["trays_matched"].tolist() == [8, 8]
    sums = frame.groupby(["scion", "caliper_match"])["taken"].sum().unstack() / 320
    raw = (sums["matched"] - sums["scion thinner"]).tolist()
    assert table["raw_drop"].tolist() == pytest.approx(raw, abs=1e-12)


@pytest.mark.parametrize(
    ("match", "scion", "said"),
    [
        ("matched", "Acer griseum", "the only caliper match recorded is matched"),
        (
            ["matched"] * 8 + ["scion thinner"] * 8,
            ["Acer griseum"] * 8 + ["Carpinus betulus"] * 8,
            "no species has counted trays both matched and with the scion thinner",
        ),
    ],
)
def test_why_nothing_is_said_of_forgiving(match: object, scion: object, said: str) -> None:
    frame = season(16).drop(columns=["understock_caliper_mm", "graft_date"])
    frame["understock"] = frame["scion"] = scion
    topic = curves_topic(unfitted(frame.assign(caliper_match=match)), "", silent)
    assert topic is not None
    assert words(sections(topic)["forgiving"]) == [
        f"Whether a species forgives a thin scion: {said}."
    ]
