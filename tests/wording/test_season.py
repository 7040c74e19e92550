"""The sentences of the bench sheet, word for word."""

from __future__ import annotations

import pytest

from takestats.wording.bench_trays import (
    OddTray,
    floor_line,
    odd_trays_line,
    one_tray_line,
    too_few_line,
    unseen_failure_line,
)
from takestats.wording.charts import Take
from takestats.wording.compared import Difference, averaged_words, difference_line
from takestats.wording.said import dates_words, short_names, shortened
from takestats.wording.season import (
    early_count,
    missing_line,
    not_counted_line,
    overall,
    randomised_words,
    set_aside_line,
)


def _gap(difference, low, high, a="side veneer", b="cleft"):
    return Difference("method", a, b, difference, low, high, 9, 9)


@pytest.mark.parametrize(
    ("gap", "said"),
    [
        (
            _gap(0.06, 0.01, 0.12),
            "Method: side veneer took 6 points more than cleft "
            "(95 % confidence interval 1 to 12 points more; 9 trays against 9).",
        ),
        (
            _gap(-0.06, -0.12, -0.01),
            "Method: cleft took 6 points more than side veneer "
            "(95 % confidence interval 1 to 12 points more; 9 trays against 9).",
        ),
        (
            _gap(0.04, -0.03, 0.11),
            "Method: side veneer and cleft, no clear difference; side veneer took 4 points more "
            "(95 % confidence interval 3 points less to 11 points more; 9 trays against 9).",
        ),
        (
            _gap(0.04, -0.2, 0.25),
            "Method: side veneer and cleft, this trial cannot tell them apart; more trays are "
            "needed (side veneer took 4 points more, 95 % confidence interval 20 points less to "
            "25 points more; 9 trays against 9).",
        ),
        (
            _gap(0.3, 0.05, 0.5),
            "Method: side veneer took better than cleft; by how much is not known to within 45 "
            "points (95 % confidence interval 5 to 50 points more; 9 trays against 9).",
        ),
    ],
)
def test_a_difference_is_said_as_the_interval_allows(gap, said):
    assert difference_line(gap) == said


def test_a_difference_names_what_it_was_averaged_over():
    over = averaged_words(["combination", "scion_wood"])
    assert difference_line(_gap(0.06, 0.01, 0.12), over).endswith(
        ", at the same mix of combination and scion wood."
    )


def test_the_season_is_said_with_count_date_trays_and_grafts():
    take = Take("all", 0.893, 0.86, 0.92, 890, 990, 36)
    said = overall(
        season="2026",
        take=take,
        grafted=1000,
        count="settled",
        count_date="16 June 2026",
        level=0.95,
        live=False,
    )
    assert said == (
        "Season 2026: 1,000 grafts made in 36 trays; at the settled count of 16 June 2026, 890 of "
        "990 had taken. Of 100 grafts made like these, 89 should take "
        "(95 % confidence interval 86 to 92)."
    )


def test_what_is_not_recorded_is_said_so():
    take = Take("all", 0.893, 0.86, 0.92, 890, 1000, float("nan"))
    said = overall(
        season="", take=take, grafted=1000, count="settled", count_date="", level=0.95, live=True
    )
    assert said == (
        "1,000 grafts made; at the settled count (count date not recorded), 890 of 1,000 on live "
        "understock had taken. Of 100 grafts made like these, 89 should take "
        "(95 % confidence interval 86 to 92)."
    )
    assert missing_line(0, recorded=False) == (
        "Missing grafts are not recorded; every graft made is counted."
    )
    assert missing_line(0, recorded=True) is None
    assert missing_line(1, recorded=True) == (
        "1 graft was missing at the count and left out of the share."
    )


def test_an_early_count_is_warned_of_first():
    assert early_count("settled") is None
    assert "too high" in (early_count("first") or "")


def test_odd_trays_are_named_by_id_and_a_long_list_is_cut():
    trays = [OddTray(f"T{i:03d}", 12, 40, 0.91, "low") for i in range(8)]
    said = odd_trays_line(trays)
    assert said.startswith("Look at these trays: T000 (12 of 40 took, about 91 % expected), T001")
    assert said.endswith("and 2 more, listed below.")
    assert odd_trays_line([]) == "No tray stands far from its group."
    assert odd_trays_line([OddTray("T9", 40, 40, 0.7, "high")]) == (
        "Better than its group: T9 (40 of 40 took, about 70 % expected)."
    )


def test_few_trays_are_said():
    assert one_tray_line([]) is None
    assert too_few_line([]) is None
    assert unseen_failure_line([("cleft", 3)], "method") is None
    assert unseen_failure_line([("cleft", 12), ("side veneer", 9)], "method") == (
        "No tray took under half: 12 trays of cleft and 9 trays of side veneer. Even so, up to 3 "
        "in 9 or 3 in 12 such trays could."
    )
    assert unseen_failure_line([(name, 5 + i) for i, name in enumerate("abcd")], "combination") == (
        "No tray took under half in 4 levels of combination. Even so, up to 3 in 5 such trays "
        "could, where trays are fewest."
    )


def test_what_stands_outside_is_counted():
    assert not_counted_line(0) is None
    assert not_counted_line(1) == "1 tray is not counted yet and stands outside these numbers."
    assert set_aside_line(0) is None
    assert set_aside_line(2) == "2 rows with faults were set aside; they are listed below."


def test_the_floor_tells_sure_from_perhaps():
    takes = [Take("A", 0.6, 0.5, 0.7, 60, 100, 4), Take("B", 0.7, 0.6, 0.8, 70, 100, 4)]
    assert floor_line(0.75, takes) == (
        "Below the floor of 75 %: A, 60 % (50 to 70), surely below; B, 70 % (60 to 80), perhaps."
    )


@pytest.mark.parametrize(
    ("dates", "said"),
    [
        ([], ""),
        (["2026-06-15"], "15 June 2026"),
        (["2026-06-20", "2026-06-15"], "15 to 20 June 2026"),
        (["2026-06-30", "2026-07-02"], "30 June 2026 to 2 July 2026"),
        (["2026-06", "2026-07"], "June 2026 to July 2026"),
    ],
)
def test_count_dates(dates, said):
    assert dates_words(dates) == said


def test_no_sentence_of_the_bench_ranks_people_or_uses_words_of_significance():
    text = " ".join(
        [
            difference_line(_gap(0.3, 0.05, 0.5)),
            difference_line(_gap(0.04, -0.2, 0.25)),
            odd_trays_line([OddTray("T1", 1, 40, 0.9, "low")]),
        ]
    ).lower()
    for word in ("significan", "p-value", "odds", "grafter", "best", "worst"):
        assert word not in text


@pytest.mark.parametrize(
    ("sentence", "said"),
    [
        (
            "Hamamelis × intermedia 'Copper Moth' on Hamamelis virginiana: few trays.",
            "moth on virginiana: few trays.",
        ),
        ("Hamamelis virginiana 'Last Lamp' took.", "Hamamelis virginiana 'Last Lamp' took."),
        ("Hamamelis virginiana var. alba took.", "Hamamelis virginiana var. alba took."),
        ("Carpinus betulus took.", "Carpinus betulus took."),
    ],
)
def test_short_names_stand_for_whole_names_only(sentence, said):
    names = short_names(
        {
            "moth": "Hamamelis x intermedia 'Copper Moth'",
            "virginiana": "Hamamelis virginiana",
            "beech": "Carpinus betulus",
            "hornbeam": "Carpinus betulus",  # two short names: neither is used
        }
    )
    assert shortened(sentence, names) == said


def test_only_what_was_drawn_by_lot_is_put_down_to_it():
    assert randomised_words("", ["method"], True).endswith("seen together, not shown to cause.")
    assert randomised_words("tray", ["method", "scion_wood"], False) == (
        "The settings say that method and scion wood were given to whole trays by lot: a clear "
        "difference can be put down to them, as far as nothing else went with it."
    )
    assert randomised_words("graft", ["method"], True) == (
        "The settings say that method was given to single grafts by lot: a clear difference can be "
        "put down to it, as far as nothing else went with it. The other differences were seen "
        "together, not shown to cause."
    )
    assert "none of them" in randomised_words("tray", [], True)
