"""Takes of levels: columns, averaging, weights, empty cells, end points."""

from __future__ import annotations

import os
from pathlib import Path

import numpy as np
import pandas as pd
import pytest

from takestats.answers.confounding import confounding
from takestats.answers.gaps import differences
from takestats.answers.history import season_history
from takestats.answers.odd_trays import odd_trays
from takestats.answers.odds import odds_ratios
from takestats.answers.rates import TakeRates, take_rates
from takestats.models.fit import fit_take
from takestats.models.result import TableResult
from takestats.models.take_model import TakeModel
from tests.models.small_trials import bench, records_of, two_by_two, two_methods

WORDS = Path(__file__).parent / "words.txt"
BOTH = ["method", "scion_wood"]
COUNTED = [
    "take_rate", "low", "high", "trays", "grafts", "grafted", "missing", "understock_dead",
    "taken", "raw_rate", "raw_rate_live", "raw_low", "raw_high",
]  # fmt: skip


@pytest.fixture(scope="module")
def model() -> TakeModel:
    return fit_take(records_of(two_methods()), ["method"])


@pytest.fixture(scope="module")
def cells() -> TakeModel:
    return fit_take(records_of(two_by_two()), BOTH, interactions=[BOTH])


def cell_model(frame: pd.DataFrame) -> TakeModel:
    """The cells of two factors, empty ones allowed: the quick form speaks of cells only."""
    return fit_take(records_of(frame), BOTH, engine="quick")


def without(frame: pd.DataFrame, *empty: tuple[str, str]) -> pd.DataFrame:
    pairs = list(zip(frame["method"], frame["scion_wood"], strict=True))
    return frame[[pair not in empty for pair in pairs]].reset_index(drop=True)


def test_columns_are_those_of_the_contract(model: TakeModel, cells: TakeModel) -> None:
    assert take_rates(model, "method").table.columns.tolist() == ["method", *COUNTED]
    assert take_rates(cells, BOTH).table.columns.tolist() == [*BOTH, *COUNTED]
    assert take_rates(cells, None).table.columns.tolist() == COUNTED
    inside = take_rates(cells, "method", within="scion_wood").table
    assert inside.columns.tolist() == ["scion_wood", "method", *COUNTED]
    assert len(inside) == 4


def test_counts_are_the_levels_own(model: TakeModel) -> None:
    table = take_rates(model, "method").table
    assert table["trays"].tolist() == [4, 4]
    assert table["taken"].tolist() == [119, 138]
    assert table["grafts"].tolist() == [145, 145]
    np.testing.assert_allclose(table["raw_rate"], [119 / 145, 138 / 145])
    assert table["missing"].isna().all()  # not recorded is not 0
    assert table["raw_rate_live"].isna().all()


def test_full_precision_is_kept(model: TakeModel) -> None:
    for value in take_rates(model, "method").table["take_rate"]:
        assert abs(value * 1000 - round(value * 1000)) > 1e-9


def test_the_raw_limits_are_the_quick_form(model: TakeModel) -> None:
    quick = fit_take(records_of(two_methods()), ["method"], engine="quick")
    theirs = take_rates(quick, "method").table
    mine = take_rates(model, "method").table
    np.testing.assert_allclose(mine[["raw_low", "raw_high"]], theirs[["low", "high"]])
    np.testing.assert_allclose(mine["raw_rate"], theirs["take_rate"])


def test_an_average_is_over_the_lines_of_the_fit(cells: TakeModel) -> None:
    # Equal cells: the average over woods is the mean of the two cells.
    by_cell = take_rates(cells, BOTH).table.set_index(BOTH)["take_rate"]
    table = take_rates(cells, "method").table.set_index("method")
    for method in ("cleft", "side veneer"):
        assert table.loc[method, "take_rate"] == pytest.approx(by_cell[method].mean(), abs=0.01)


def test_weights_are_grafts_or_trays() -> None:
    frame = two_by_two()
    frame.loc[frame["scion_wood"] == "terminal", ["taken", "grafted"]] *= 3
    asked = cell_model(frame)
    cell = take_rates(asked, BOTH).table.set_index(BOTH)["take_rate"]["cleft"]
    for weights, share in (("grafts", 0.75), ("trays", 0.5)):
        found = take_rates(asked, "method", weights=weights).table["take_rate"].iloc[0]  # type: ignore[arg-type]
        expected = share * cell["terminal"] + (1 - share) * cell["sub_terminal"]
        assert found == pytest.approx(expected, rel=1e-12)
    assert "mix of grafts" in " ".join(take_rates(asked, "method").notes)
    assert "mix of trays" in " ".join(take_rates(asked, "method", weights="trays").notes)


def test_at_holds_a_factor_and_over_chooses_the_lines(cells: TakeModel) -> None:
    cell = take_rates(cells, BOTH).table.set_index(BOTH)["take_rate"]
    for asked in ({"at": {"scion_wood": "terminal"}}, {"over": {"scion_wood": "terminal"}}):
        result = take_rates(cells, "method", **asked)  # type: ignore[arg-type]
        found = result.table.set_index("method")["take_rate"]
        assert found["cleft"] == pytest.approx(cell["cleft", "terminal"], abs=1e-9)
        assert found["side veneer"] == pytest.approx(cell["side veneer", "terminal"], abs=1e-9)
        assert any("scion wood terminal" in note for note in result.notes)
    both = take_rates(cells, "method", over={"scion_wood": ["terminal", "sub_terminal"]}).table
    np.testing.assert_allclose(both["take_rate"], take_rates(cells, "method").table["take_rate"])


def test_over_may_name_a_column_that_was_not_fitted(model: TakeModel) -> None:
    frame = two_methods().assign(grafter=["AB", "CD"] * 4)
    asked = take_rates(fit_take(records_of(frame), ["method"]), "method", over={"grafter": "AB"})
    expected = take_rates(model, "method").table
    np.testing.assert_allclose(asked.table["take_rate"], expected["take_rate"])


def test_an_empty_cell_is_not_averaged_over_and_named() -> None:
    asked = cell_model(without(two_by_two(), ("cleft", "terminal")))
    result = take_rates(asked, "method")
    # Only sub-terminal wood has trays of both methods: there the two are compared.
    expected = take_rates(asked, "method", within="scion_wood").table
    expected = expected[expected["scion_wood"] == "sub_terminal"]
    np.testing.assert_allclose(result.table["take_rate"], expected["take_rate"])
    assert any("no trays of cleft, terminal" in note for note in result.notes)
    # The counts beside it stay those of all the level's trays.
    assert result.table["trays"].tolist() == [3, 6]
    assert len(take_rates(asked, BOTH).table) == 3


def test_a_level_that_took_wholly_ends_at_100_percent() -> None:
    frame = bench({"cleft": [(20, 20)] * 3, "splice": [(0, 20)] * 3, "wedge": [(17, 20)] * 3})
    table = take_rates(fit_take(records_of(frame), ["method"]), "method").table
    assert table["high"].tolist()[0] == 1.0
    assert table["low"].tolist()[1] == 0.0
    assert 0 < table["low"].iloc[2] < table["high"].iloc[2] < 1
    assert table["take_rate"].iloc[0] < 1.0
    assert table["take_rate"].iloc[1] > 0.0
    cells = two_by_two()
    cells.loc[cells["method"] == "cleft", "taken"] = 20
    for interactions in ([], [BOTH]):
        fitted = fit_take(records_of(cells), BOTH, interactions=interactions)
        assert take_rates(fitted, "method").table["high"].iloc[0] == 1.0


@pytest.mark.parametrize("engine", ["tray_model", "quick"])
def test_a_lower_level_lies_inside(engine: str) -> None:
    model = fit_take(records_of(two_methods()), ["method"], engine=engine)  # type: ignore[arg-type]
    wide = take_rates(model, "method").table
    narrow = take_rates(model, "method", level=0.9).table
    assert (wide["low"] < narrow["low"]).all()
    assert (narrow["high"] < wide["high"]).all()
    assert "90 % confidence interval" in take_rates(model, "method", level=0.9).in_words()


def results() -> list[TableResult]:
    """One of every answer, of one small trial with a bad tray, deaths and two seasons."""
    frame = two_methods().assign(
        missing=[0, 1, 0, 0, 0, 0, 0, 2],
        understock_dead=[1, 0, 2, 0, 0, 0, 1, 0],
        grafter=["AB"] * 4 + ["CD"] * 4,
    )
    frame.loc[8] = frame.loc[7].to_dict() | {"tray": "T09", "taken": 9}
    before = two_methods().assign(season="2024-25", count_date="2025-06-20")
    records = records_of(pd.concat([before, frame], ignore_index=True))
    model = fit_take(records, ["method"], season="newest")
    quick = fit_take(records, ["method"], season="newest", engine="quick")
    woods = fit_take(records_of(two_by_two()), BOTH, interactions=[BOTH])
    return [
        take_rates(model, "method"),
        take_rates(model, None, level=0.9),
        take_rates(quick, "method"),
        differences(model, "method"),
        differences(woods, "method", within="scion_wood", level=0.9),
        odds_ratios(model, "method"),
        odds_ratios(model, "method", kind="same_tray", level=0.9),
        odd_trays(model),
        season_history(records, "method"),
        season_history(records, level=0.9),
        confounding(model),
        model.coefficients,
        model.tray_variation,
        woods.coefficients,
    ]


def test_the_words_are_pinned() -> None:
    """Remade by running with TAKESTATS_PIN=1; read the difference like code."""
    lines = [
        "Every answer read aloud, of one small invented trial. Pinned by",
        "tests/answers/test_rates.py; proof-read it when a text changes.",
        "",
    ]
    for result in results():
        lines += [f"[{type(result).__name__}]", *result.sentences]
        lines += [*(f"- {note}" for note in result.notes), ""]
    words = "\n".join(lines)
    if os.environ.get("TAKESTATS_PIN"):
        WORDS.write_text(words, encoding="utf-8")
    assert words == WORDS.read_text(encoding="utf-8")


def test_no_answer_shows_a_formula_or_a_ranking() -> None:
    for result in results():
        shown = [result.in_words(), *result.notes, *result.table.columns.astype(str)]
        shown += [str(x) for x in result.table.select_dtypes(exclude="number").to_numpy().ravel()]
        for text in shown:
            for code in ("[T.", "C(", " ~ ", "significan", "nan", "***"):
                assert code not in text
        assert all(":" not in name for name in result.table.columns)


def test_every_answer_is_frozen_and_hands_out_copies() -> None:
    for result in results():
        before = result.table
        changed = result.table
        changed.iloc[:, -1] = changed.iloc[0, -1]
        changed.loc[len(changed)] = None
        changed.columns = [f"not {name}" for name in changed.columns]
        pd.testing.assert_frame_equal(result.table, before)
        with pytest.raises(AttributeError):
            result.notes = ()  # type: ignore[misc]
        assert str(result) == result.in_words() == " ".join(result.sentences)
        assert result._repr_markdown_().startswith(result.in_words())
        assert hash(result) == hash(result)
    assert isinstance(results()[0], TakeRates)
