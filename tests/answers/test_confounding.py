"""What moved together: a planted one is found, crossed columns are not."""

from __future__ import annotations

from takestats.answers.confounding import confounding
from takestats.models.fit import fit_take
from tests.models.small_trials import records_of, two_by_two, two_methods


def test_a_planted_one_is_found_in_every_level() -> None:
    frame = two_methods().assign(grafter=["AB"] * 4 + ["CD"] * 4)
    result = confounding(fit_take(records_of(frame), ["method"]))
    table = result.table
    assert table.columns.tolist() == [
        "factor", "level", "other", "other_level", "trays", "of_levels",
    ]  # fmt: skip
    assert table["level"].tolist() == ["cleft", "side veneer"]
    assert table["other"].tolist() == ["grafter"] * 2
    assert table["other_level"].tolist() == ["AB", "CD"]
    assert table["trays"].tolist() == [4, 4]
    assert "cannot tell method from grafter there" in result.in_words()


def test_crossed_columns_are_not_named() -> None:
    frame = two_methods().assign(grafter=["AB", "CD"] * 4)
    result = confounding(fit_take(records_of(frame), ["method"]))
    assert result.table.empty
    assert "No level of one column stands wholly within" in result.in_words()


def test_one_level_within_another_is_found_alone() -> None:
    frame = two_methods().assign(grafter=["AB"] * 4 + ["AB", "CD"] * 2)
    table = confounding(fit_take(records_of(frame), ["method"])).table
    assert table["level"].tolist() == ["cleft"]


def test_a_column_of_one_value_tells_nothing() -> None:
    frame = two_methods().assign(grafter="AB")
    assert confounding(fit_take(records_of(frame), ["method"])).table.empty


def test_a_blank_is_no_level() -> None:
    frame = two_methods().assign(grafter=["AB"] * 3 + [None] + ["CD"] * 4)
    table = confounding(fit_take(records_of(frame), ["method"])).table
    assert table["level"].tolist() == ["side veneer"]


def test_two_factors_of_the_model_are_looked_at_in_both_directions() -> None:
    frame = two_by_two()
    frame = frame[~((frame["method"] == "cleft") & (frame["scion_wood"] == "terminal"))]
    model = fit_take(records_of(frame), ["method", "scion_wood"])
    rows = confounding(model).table[["factor", "level", "other", "other_level"]]
    assert rows.to_numpy().tolist() == [
        ["method", "cleft", "scion_wood", "sub_terminal"],
        ["scion_wood", "terminal", "method", "side veneer"],
    ]


def test_other_columns_may_be_asked_about() -> None:
    frame = two_methods().assign(grafter=["AB", "CD"] * 4, healing=["open bench", "poly tent"] * 4)
    model = fit_take(records_of(frame), ["method"])
    table = confounding(model, "grafter").table
    assert set(table["other"]) == {"healing"}
