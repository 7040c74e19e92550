"""What fit_take accepts and refuses: which lines, which season, which share, which engine."""

from __future__ import annotations

import math
import os
from pathlib import Path

import numpy as np
import pandas as pd
import pytest

from takestats.answers.gaps import differences
from takestats.answers.odds import odds_ratios
from takestats.answers.rates import take_rates
from takestats.errors import TakeError
from takestats.models.fit import fit_take
from tests.models.refusals import refused, told
from tests.models.small_trials import bench, records_of, two_by_two, two_methods

MESSAGES = Path(__file__).parent / "messages.txt"


def test_every_refusal_is_pinned_where_a_person_can_proof_read_it() -> None:
    """Remade by running with TAKESTATS_PIN=1; read the difference like code."""
    if os.environ.get("TAKESTATS_PIN"):
        MESSAGES.write_text(told(), encoding="utf-8")
    assert told() == MESSAGES.read_text(encoding="utf-8")


def test_every_refusal_has_its_four_parts_and_no_code_words() -> None:
    for name, error in refused():
        assert isinstance(error, TakeError), name
        parts = [error.where, error.what, error.rule, error.next_step]
        assert all(parts), name
        for word in ("nan", "None", "[T.", "C(", " ~ ", "Traceback", "{", "}"):
            assert word not in " ".join(parts), name


def rates(frame: pd.DataFrame, **asked: object) -> pd.DataFrame:
    model = fit_take(records_of(frame), ["method"], **asked)  # type: ignore[arg-type]
    return take_rates(model, "method").table


def test_blanks_are_left_out_counted_and_said() -> None:
    frame = two_methods().assign(grafter=["AB", None, "AB", "CD", "CD", "AB", None, "CD"])
    model = fit_take(records_of(frame), ["grafter"])
    assert model.trays == 6
    assert model.left_out.to_dict("records") == [
        {"column": "grafter", "level": "", "lines": 2, "reason": "blank"}
    ]
    assert any("2 lines (grafter: blank); 25 % of the lines" in note for note in model.notes)


def test_trays_not_counted_yet_are_left_out_and_said() -> None:
    frame = two_methods()
    frame.loc[[0, 5], ["taken", "count_date"]] = None
    model = fit_take(records_of(frame), ["method"])
    assert model.trays == 6
    assert model.left_out["reason"].tolist() == ["not counted yet"]
    assert any("2 lines (taken: not counted yet)" in note for note in model.notes)


def test_cuttings_are_never_in_one_model_with_grafts() -> None:
    cuttings = bench({None: [(3, 20), (2, 20)]}, made_by="cutting")  # type: ignore[dict-item]
    frame = pd.concat([two_methods().assign(made_by="graft"), cuttings], ignore_index=True)
    frame["tray"] = [f"T{i + 1}" for i in range(len(frame))]
    model = fit_take(records_of(frame), [])
    assert set(model.lines["made_by"]) == {"graft"}
    assert model.grafts == two_methods()["grafted"].sum()
    assert "cuttings are never in one model with grafts" in set(model.left_out["reason"])
    alone = fit_take(records_of(frame[frame["made_by"] == "cutting"]), [])
    assert alone.grafts == 40


def test_what_take_is_a_share_of() -> None:
    frame = two_methods().assign(missing=[1, 0, None, 2, 0, 0, 0, 1], understock_dead=1)
    made = fit_take(records_of(frame), ["method"])
    live = fit_take(records_of(frame), ["method"], out_of="live_understock")
    assert made.lines["tried"].tolist() == [39, 40, 25, 38, 40, 40, 25, 39]
    assert live.lines["tried"].tolist() == [38, 39, 24, 37, 39, 39, 24, 38]
    assert "out of grafts made less those missing." in made.notes[0]
    assert "those on dead understock" in live.notes[0]
    assert (take_rates(live, None).table["take_rate"] > take_rates(made, None).table["take_rate"])[
        0
    ]
    table = take_rates(made, "method").table
    row = table[table["method"] == "cleft"].iloc[0]
    # 119 taken, 145 grafted, 3 missing, 4 dead.
    assert (row["grafted"], row["missing"], row["understock_dead"]) == (145, 3, 4)
    assert row["raw_rate"] == pytest.approx(119 / 142, rel=1e-12)
    assert row["raw_rate_live"] == pytest.approx(119 / 138, rel=1e-12)


def test_one_row_per_graft_is_the_tray_it_adds_up_to() -> None:
    trays = bench({"cleft": [(7, 10), (9, 10)], "splice": [(10, 12), (8, 10)]})
    grafts = trays.loc[trays.index.repeat(trays["grafted"])].reset_index(drop=True)
    place = grafts.groupby("tray").cumcount()
    taken = trays.set_index("tray")["taken"]
    grafts["taken"] = (place < grafts["tray"].map(taken)).astype(int)
    grafts["graft"] = place + 1
    grafts = grafts.drop(columns="grafted")
    pd.testing.assert_frame_equal(rates(trays), rates(grafts))


def test_two_rows_of_one_tray_are_one_line() -> None:
    frame = two_methods().assign(scion_wood="terminal")
    first = frame.iloc[[0]].assign(taken=11, grafted=15)
    second = frame.iloc[[0]].assign(taken=20, grafted=25, scion_wood="sub_terminal")
    split = pd.concat([first, second, frame.iloc[1:]], ignore_index=True)
    model = fit_take(records_of(split), ["method"])
    assert model.trays == 8
    assert len(model.lines) == 8
    pd.testing.assert_frame_equal(rates(split), rates(frame))


def seasons() -> pd.DataFrame:
    old = two_methods().assign(season="2024-25", count_date="2025-06-15")
    old["taken"] = old["taken"] - 8
    return pd.concat([old, two_methods()], ignore_index=True)


def test_several_seasons_are_a_factor_and_said() -> None:
    model = fit_take(records_of(seasons()), ["method"])
    assert model.factors == ("method", "season")
    assert model.season is None
    assert model.seasons == ("2024-25", "2025-26")
    assert any(note.startswith("Several seasons: season is one of") for note in model.notes)


@pytest.mark.parametrize(
    ("asked", "used"), [("newest", "2025-26"), ("2025-26", "2025-26"), ("2024-25", "2024-25")]
)
def test_one_season_is_that_season_and_the_other_is_named(asked: str, used: str) -> None:
    model = fit_take(records_of(seasons()), ["method"], season=asked)
    assert model.season == used
    assert set(model.lines["season"]) == {used}
    other = ({"2024-25", "2025-26"} - {used}).pop()
    assert any(f"Season {used} only; season {other} left out" in note for note in model.notes)
    alone = seasons()[lambda frame: frame["season"] == used]
    pd.testing.assert_frame_equal(
        take_rates(model, "method").table,
        take_rates(fit_take(records_of(alone), ["method"]), "method").table,
    )


def test_every_season_weighs_the_same() -> None:
    old = bench({"cleft": [(10, 20)] * 2, "splice": [(10, 20)] * 2}).assign(
        season="2024-25", count_date="2025-06-15"
    )
    new = bench({"cleft": [(190, 200)] * 4, "splice": [(190, 200)] * 4})
    model = fit_take(records_of(pd.concat([old, new])), ["method"], engine="quick")
    take = float(take_rates(model, None).table["take_rate"].iloc[0])
    assert take == pytest.approx((0.5 + 0.95) / 2, abs=1e-12)


def test_the_reference_is_the_level_with_most_trays_or_the_one_asked_for() -> None:
    frame = bench({"cleft": [(17, 20)] * 2, "splice": [(15, 20), (16, 20), (18, 20)]})
    model = fit_take(records_of(frame), ["method"])
    assert model.reference == {"method": "splice"}
    assert any("method: splice" in note for note in model.notes)
    asked = fit_take(records_of(frame), ["method"], reference={"method": "cleft"})
    assert asked.reference == {"method": "cleft"}
    assert asked.coefficients.table["against"].tolist() == ["cleft"]


def test_without_trays_grafts_count_as_if_independent_and_it_is_said() -> None:
    frame = two_methods().drop(columns="tray")
    model = fit_take(records_of(frame, records={"trays": "none"}), ["method"])
    assert not model.trays_recorded
    assert any("counted as if independent" in note for note in model.notes)
    assert model.tray_variation.table.empty
    assert "not estimable" in model.tray_variation.in_words()
    # Without a spread the rows do not matter: only the sums do.
    summed = frame.groupby("method", as_index=False).agg(
        {"taken": "sum", "grafted": "sum", "season": "first", "count_date": "first"}
    )
    other = fit_take(records_of(summed, records={"trays": "none"}), ["method"])
    columns = ["take_rate", "low", "high"]
    np.testing.assert_allclose(
        take_rates(model, "method").table[columns], take_rates(other, "method").table[columns]
    )
    wide, narrow = rates(two_methods()), take_rates(model, "method").table
    assert ((narrow["high"] - narrow["low"]) < (wide["high"] - wide["low"])).all()


EDGES = {
    "all took": bench({"cleft": [(20, 20)] * 3, "splice": [(20, 20)] * 3}),
    "none took": bench({"cleft": [(0, 20)] * 3, "splice": [(0, 20)] * 3}),
    "all against none": bench({"cleft": [(0, 20)] * 3, "splice": [(20, 20)] * 3}),
    "one to 5,000 grafts": bench(
        {"cleft": [(1, 1), (4900, 5000), (0, 1), (17, 20)], "splice": [(1, 2), (3000, 5000)]}
    ),
    "two trays": bench({"cleft": [(17, 20)], "splice": [(12, 20)]}),
    "one tray a level": bench({"cleft": [(17, 20)], "splice": [(20, 20)], "wedge": [(0, 20)]}),
    "trays of one graft": bench({"cleft": [(1, 1)] * 6 + [(0, 1)] * 2, "splice": [(1, 1)] * 5}),
}


@pytest.mark.parametrize("engine", ["tray_model", "quick"])
@pytest.mark.parametrize("trays", [True, False], ids=["trays", "no trays"])
@pytest.mark.parametrize("edge", EDGES)
def test_it_always_answers(edge: str, trays: bool, engine: str) -> None:
    frame, settings = EDGES[edge], {}
    if not trays:
        frame, settings = frame.drop(columns="tray"), {"records": {"trays": "none"}}
    model = fit_take(records_of(frame, **settings), ["method"], engine=engine)  # type: ignore[arg-type]
    takes = take_rates(model, "method").table
    gaps = differences(model, "method").table
    for table, estimate in ((takes, "take_rate"), (gaps, "difference")):
        numbers = table[[estimate, "low", "high"]].to_numpy()
        assert np.isfinite(numbers).all()
        assert (numbers[:, 1] <= numbers[:, 0]).all()
        assert (numbers[:, 0] <= numbers[:, 2]).all()
        assert (numbers[:, 1] < numbers[:, 2]).all()
    assert takes["low"].between(0, 1).all()
    assert takes["high"].between(0, 1).all()
    assert gaps["p_value"].between(0, 1).all()
    for table in (
        odds_ratios(model, "method").table,
        odds_ratios(model, "method", kind="same_tray").table,
        model.coefficients.table,
        model.tray_variation.table,
    ):
        assert not table.isna().to_numpy().any()
    full = takes[takes["taken"] == takes["grafts"]]
    assert (full["high"] == 1.0).all()
    empty = takes[takes["taken"] == 0]
    assert (empty["low"] == 0.0).all()


def test_one_tray_of_a_level_is_said() -> None:
    model = fit_take(records_of(EDGES["one tray a level"]), ["method"])
    assert any("One tray of cleft, splice and wedge" in note for note in model.notes)
    assert any("rests largely on the assumed range" in n for n in model.tray_variation.notes)


def test_every_cell_of_several_factors_goes_to_the_exact_grid() -> None:
    both = ["method", "scion_wood"]
    cells = fit_take(records_of(two_by_two()), both, interactions=[both])
    assert any("on an exact grid" in note for note in cells.notes)
    added = fit_take(records_of(two_by_two()), both)
    assert any("importance sampling" in note for note in added.notes)


def test_an_additive_model_is_close_to_the_grid_where_effects_add_up() -> None:
    # Counts that add up on the log odds scale: the two computations may differ by the
    # information that the additive model shares between cells, not by where they stand.
    both = ["method", "scion_wood"]
    grid = take_rates(fit_take(records_of(two_by_two()), both, interactions=[both]), "method").table
    drawn = take_rates(fit_take(records_of(two_by_two()), both), "method").table
    np.testing.assert_allclose(drawn["take_rate"], grid["take_rate"], atol=0.03)


def test_a_curve_of_few_values_becomes_a_factor_and_it_is_said() -> None:
    frame = two_methods().assign(understock_caliper_mm=[6, 6, 7, 7, 6, 6, 7, 7])
    model = fit_take(records_of(frame), ["method"], curves="understock_caliper_mm")
    assert model.factors == ("method", "understock_caliper_mm")
    assert model.curves == ()
    assert any("fewer than four distinct values" in note for note in model.notes)


def test_names_may_be_given_as_one_text() -> None:
    one = fit_take(records_of(two_methods()), "method")
    assert one.factors == ("method",)


def test_the_overall_take_needs_no_factor() -> None:
    model = fit_take(records_of(two_methods()), [])
    table = take_rates(model, None).table
    assert len(table) == 1
    assert model.coefficients.table.empty
    assert model.reference == {}
    assert not math.isnan(float(table["take_rate"].iloc[0]))


def test_the_same_seed_gives_the_same_digits() -> None:
    records = records_of(two_by_two())
    both = ["method", "scion_wood"]
    one, two = (take_rates(fit_take(records, both, seed=7), "method").table for _ in range(2))
    pd.testing.assert_frame_equal(one, two, check_exact=True)


def test_another_count_is_fitted_and_named() -> None:
    frame = two_methods()
    first = frame.assign(count="first", count_date="2026-04-15", taken=frame["grafted"])
    both = pd.concat([frame.assign(count="settled"), first], ignore_index=True)
    model = fit_take(records_of(both), ["method"], count="first")
    assert model.count == "first"
    assert "Take at the first count (2026-04-15)" in model.notes[0]
    assert (take_rates(model, "method").table["high"] == 1.0).all()
    assert fit_take(records_of(both), ["method"]).count == "settled"
