"""Differences: columns, direction, tail areas, Holm, pairs."""

from __future__ import annotations

import json
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from takestats.answers.gaps import differences, holm
from takestats.answers.rates import take_rates
from takestats.models.fit import fit_take
from takestats.models.take_model import TakeModel
from takestats.models.two_counts import square_and_add
from tests.models.small_trials import bench, records_of, two_by_two, two_methods

CASES = json.loads(
    (Path(__file__).parents[1] / "reference" / "public_cases.json").read_text(encoding="utf-8")
)
BOTH = ["method", "scion_wood"]
COLUMNS = [
    "level_a", "level_b", "difference", "low", "high", "p_value", "p_adjusted", "trays_a",
    "trays_b", "grafts_a", "grafts_b", "raw_difference", "quick_low", "quick_high",
]  # fmt: skip


@pytest.fixture(scope="module")
def model() -> TakeModel:
    return fit_take(records_of(two_methods()), ["method"])


@pytest.fixture(scope="module")
def three() -> TakeModel:
    return fit_take(
        records_of(
            bench({
                "cleft": [(15, 20), (17, 20), (14, 20), (16, 20)],
                "splice": [(18, 20), (17, 20), (19, 20)],
                "side veneer": [(20, 20), (19, 20), (20, 20)],
            })
        ),
        ["method"],
    )  # fmt: skip


def test_columns_are_those_of_the_contract(model: TakeModel) -> None:
    assert differences(model, "method").table.columns.tolist() == COLUMNS
    cells = fit_take(records_of(two_by_two()), BOTH, interactions=[BOTH])
    inside = differences(cells, "method", within="scion_wood").table
    assert inside.columns.tolist() == ["scion_wood", *COLUMNS]
    assert inside["scion_wood"].tolist() == ["terminal", "sub_terminal"]
    every = differences(cells, BOTH).table
    assert len(every) == 6
    assert every.iloc[0][["level_a", "level_b"]].tolist() == [
        "cleft, terminal",
        "cleft, sub_terminal",
    ]


def test_counts_and_the_raw_difference_stand_beside(model: TakeModel) -> None:
    row = differences(model, "method").table.iloc[0]
    assert (row["trays_a"], row["trays_b"]) == (4, 4)
    assert (row["grafts_a"], row["grafts_b"]) == (145, 145)
    assert row["raw_difference"] == pytest.approx((119 - 138) / 145, rel=1e-12)
    quick = fit_take(records_of(two_methods()), ["method"], engine="quick")
    theirs = differences(quick, "method").table.iloc[0]
    assert (row["quick_low"], row["quick_high"]) == pytest.approx((theirs["low"], theirs["high"]))


def test_the_quick_difference_is_square_and_add_of_the_raw_limits(model: TakeModel) -> None:
    a, b = take_rates(model, "method").table.to_dict("records")
    expected = square_and_add(
        a["raw_rate"], (a["raw_low"], a["raw_high"]), b["raw_rate"], (b["raw_low"], b["raw_high"])
    )
    row = differences(model, "method").table.iloc[0]
    assert (row["quick_low"], row["quick_high"]) == pytest.approx(expected, rel=1e-12)


@pytest.mark.parametrize("engine", ["tray_model", "quick"])
def test_a_minus_b_is_minus_b_minus_a(engine: str) -> None:
    model = fit_take(records_of(two_methods()), ["method"], engine=engine)  # type: ignore[arg-type]
    one = differences(model, "method", pairs=[("cleft", "side veneer")]).table.iloc[0]
    two = differences(model, "method", pairs=[("side veneer", "cleft")]).table.iloc[0]
    assert one["difference"] < 0 < two["difference"]
    assert one["difference"] == pytest.approx(-two["difference"], abs=3e-4)
    assert one["low"] == pytest.approx(-two["high"], abs=3e-4)
    assert one["p_value"] == pytest.approx(two["p_value"], rel=0.02)
    assert one["raw_difference"] == -two["raw_difference"]


def test_pairs_with_the_reference(three: TakeModel) -> None:
    table = differences(three, "method", pairs="reference").table
    assert table["level_a"].tolist() == ["splice", "side veneer"]
    assert set(table["level_b"]) == {"cleft"}
    assert len(differences(three, "method").table) == 3


def test_holm_is_over_the_pairs_of_one_call(three: TakeModel) -> None:
    table = differences(three, "method").table
    np.testing.assert_allclose(table["p_adjusted"], holm(table["p_value"].to_numpy()))
    assert (table["p_adjusted"] >= table["p_value"]).all()
    plain = differences(three, "method", multiple="none")
    np.testing.assert_array_equal(plain.table["p_adjusted"], plain.table["p_value"])
    # The limits are not adjusted, and that is said.
    np.testing.assert_array_equal(plain.table["low"], table["low"])
    assert any("3 pairs (Holm); the limits are not adjusted" in n for n in
               differences(three, "method").notes)  # fmt: skip
    assert any("not adjusted for the number of pairs" in note for note in plain.notes)


def test_holm_is_the_public_case() -> None:
    case = next(case for case in CASES if case["id"] == "holm_bh_list_1")
    found = holm(np.array(case["data"]["p"]))
    # Products of decimal fractions, printed exactly.
    np.testing.assert_allclose(found, case["expected"]["holm"], rtol=1e-12)


@given(st.lists(st.floats(0.0, 1.0), min_size=1, max_size=12))
def test_holm_by_its_definition(values: list[float]) -> None:
    # Step down: the largest of (m - j + 1) p_(j) over the j up to one's own place.
    p = np.array(values)
    found = holm(p)
    order = sorted(range(p.size), key=lambda i: p[i])
    for place, index in enumerate(order):
        steps = [(p.size - j) * p[order[j]] for j in range(place + 1)]
        assert found[index] == pytest.approx(min(1.0, max(steps)), abs=1e-15)


@settings(max_examples=25)
@given(st.lists(st.floats(0.0, 1.0), min_size=1, max_size=12))
def test_holm_is_statsmodels(values: list[float]) -> None:
    multitest = pytest.importorskip("statsmodels.stats.multitest")
    theirs = multitest.multipletests(values, method="holm")[1]
    np.testing.assert_allclose(holm(np.array(values)), theirs, rtol=1e-12, atol=1e-15)


@pytest.mark.parametrize("engine", ["tray_model", "quick"])
def test_the_tail_area_and_the_interval_say_the_same(engine: str, three: TakeModel) -> None:
    model = fit_take(three.records, ["method"], engine=engine)  # type: ignore[arg-type]
    for level in (0.5, 0.8, 0.9, 0.95, 0.99):
        for row in differences(model, "method", level=level).table.itertuples():
            assert (row.p_value < 1 - level) == (row.low > 0 or row.high < 0)


def test_a_clear_difference_is_told_in_words() -> None:
    frame = bench({"cleft": [(20, 40)] * 6, "splice": [(38, 40)] * 6})
    result = differences(fit_take(records_of(frame), ["method"]), "method")
    assert result.table["p_value"].iloc[0] < 0.001
    assert "Splice took better than cleft." in result.in_words()
    assert result.table["p_value"].iloc[0] > 0.0


def test_an_unclear_one_is_not_called_equal(model: TakeModel) -> None:
    frame = bench({"cleft": [(17, 20), (15, 20)], "splice": [(16, 20), (18, 20)]})
    words = differences(fit_take(records_of(frame), ["method"]), "method").in_words()
    assert "cannot tell them apart" in words or "no difference was shown, nor ruled out" in words
    for claim in ("equal", "the same", "took better"):
        assert claim not in words


def test_at_and_over_reach_the_differences() -> None:
    cells = fit_take(records_of(two_by_two()), BOTH, interactions=[BOTH])
    inside = differences(cells, "method", within="scion_wood").table.set_index("scion_wood")
    for wood in ("terminal", "sub_terminal"):
        held = differences(cells, "method", at={"scion_wood": wood}).table.iloc[0]
        chosen = differences(cells, "method", over={"scion_wood": wood}).table.iloc[0]
        for name in ("difference", "low", "high"):
            assert held[name] == pytest.approx(inside.loc[wood, name], abs=1e-9)
            assert chosen[name] == pytest.approx(inside.loc[wood, name], abs=1e-9)


def test_a_pair_lacking_a_stratum_is_compared_where_both_have_trays() -> None:
    frame = two_by_two()
    frame = frame[~((frame["method"] == "cleft") & (frame["scion_wood"] == "terminal"))]
    model = fit_take(records_of(frame), BOTH, engine="quick")
    result = differences(model, "method")
    inside = differences(model, "method", within="scion_wood").table
    assert inside["scion_wood"].tolist() == ["sub_terminal"]
    assert result.table["difference"].iloc[0] == pytest.approx(inside["difference"].iloc[0])
    assert any("no trays of cleft, terminal" in note for note in result.notes)
