"""Do published trials, read as records, give the published numbers, and pages that say so?

Sources stand in the settings beside each records file and in README.md.
"""

from __future__ import annotations

import csv
import json
import re
import subprocess
import sys
from pathlib import Path
from typing import Any

import numpy as np
import pytest

import takestats as ts
from takestats.pages.render import page_bytes
from tests.reference.published_reports import PUBLISHED, records_of, report_of

NAMES = ("allanblackia", "baobab", "bartlett", "orob2", "pecan")
CASES = {
    case["id"]: case
    for case in json.loads(
        (Path(__file__).parent / "public_cases.json").read_text(encoding="utf-8")
    )
}


def cells_of(name: str, *factors: str) -> ts.TakeModel:
    """Fit a trial by the cells of its factors: nothing is assumed to add up."""
    every = [list(factors)] if len(factors) > 1 else []
    return ts.fit_take(records_of(name), list(factors), interactions=every)


@pytest.fixture(scope="module")
def season_page() -> Any:
    """Give a function that makes a trial's page once and returns what a reader sees of it."""
    made: dict[str, str] = {}

    def text_of(name: str) -> str:
        if name not in made:
            html = page_bytes(report_of(name)).decode("utf-8")
            seen = re.sub(r"<(style|script)\b.*?</\1>", " ", html, flags=re.DOTALL)
            seen = re.sub(r"<[^>]+>", " ", seen)
            made[name] = re.sub(r"\s+", " ", seen.replace("&#39;", "'").replace("&amp;", "&"))
        return made[name]

    return text_of


def test_the_script_remakes_the_committed_bytes(tmp_path: Path) -> None:
    script = PUBLISHED / "make_published.py"
    subprocess.run([sys.executable, "-B", str(script), str(tmp_path)], check=True)
    assert len(list(tmp_path.iterdir())) == 2 * len(NAMES)
    for made in tmp_path.iterdir():
        assert made.read_bytes() == (PUBLISHED / made.name).read_bytes(), made.name


@pytest.mark.parametrize("name", NAMES)
def test_the_counts_are_read_as_written(name: str) -> None:
    with (PUBLISHED / f"{name}.csv").open(encoding="utf-8", newline="") as file:
        written = list(csv.DictReader(file))
    trays = records_of(name).trays
    assert records_of(name).problems.empty
    assert trays["taken"].tolist() == [int(row["taken"]) for row in written]
    assert trays["grafted"].tolist() == [int(row["grafted"]) for row in written]


@pytest.mark.parametrize("name", NAMES)
def test_every_page_cites_its_source(name: str, season_page: Any) -> None:
    settings = (PUBLISHED / f"{name}.toml").read_text(encoding="utf-8")
    for key in ("source", "reconstructed"):
        told = re.search(rf'^{key} = "(.*)"$', settings, flags=re.MULTILINE)
        if told:
            assert told.group(1) in season_page(name)


@pytest.mark.parametrize("name", NAMES)
def test_no_limit_leaves_0_to_100(name: str) -> None:
    records = records_of(name)
    factors = list(records.trial.compare.get("factors", []))
    rates = ts.take_rates(ts.fit_take(records, factors), factors).table
    assert (rates["low"] >= 0).all()
    assert (rates["high"] <= 1).all()
    assert (rates["low"] < rates["high"]).all()


# Baobab: 4 cells of 3 replicates of 10.


def test_baobab_replicates_vary_two_and_a_half_times_more_than_chance() -> None:
    # Worked by hand from the reconstructed counts: Pearson chi-square 20.1 on 8 degrees of
    # freedom, dispersion 2.513, and (dispersion - 1) / (grafts a replicate - 1) = 0.168.
    # Half a unit of the last digit given.
    trays = records_of("baobab").trays
    cell = trays.groupby(["method", "month"])
    rate = cell["taken"].transform("sum") / cell["grafted"].transform("sum")
    taken, grafted = trays["taken"].to_numpy(), trays["grafted"].to_numpy()
    pearson = np.sum((taken - grafted * rate) ** 2 / (grafted * rate * (1 - rate)))
    df = len(trays) - cell.ngroups
    assert df == 8
    assert pearson / df == pytest.approx(2.513, rel=0, abs=5e-4)
    assert (pearson / df - 1) / 9 == pytest.approx(0.168, rel=0, abs=5e-4)


def test_baobab_tray_correlation_pooled_within_cells() -> None:
    # Analysis-of-variance form, 0.1435: half a unit of the last digit given.
    trays = records_of("baobab").trays
    cells = (trays["method"] + ", " + trays["month"]).tolist()
    found = ts.intra_tray_correlation(trays["taken"], trays["grafted"], cells)
    assert found.estimate == pytest.approx(0.1435, rel=0, abs=5e-5)


def test_baobab_intervals_are_wider_than_with_grafts_as_units() -> None:
    # The replicates vary more than chance, so limits that know the trays must be wider than
    # Wilson limits of the same cell, which do not.
    model = ts.fit_take(records_of("baobab"), ["method", "month"])
    rates = ts.take_rates(model, ["method", "month"]).table
    assert len(rates) == 4
    for row in rates.itertuples():
        alone = ts.take_interval(int(row.taken), int(row.grafted))
        assert row.high - row.low > alone.high - alone.low


# Allanblackia: one lot a method.


def test_allanblackia_page_says_what_one_tray_cannot_show(season_page: Any) -> None:
    page = season_page("allanblackia")
    assert re.search(r"one tray cannot show", page, flags=re.IGNORECASE)
    assert "assumed range" in page


def test_allanblackia_raw_takes_are_those_printed() -> None:
    # Printed as 80.0, 55.0, 52.5 and 50.0 %.
    model = ts.fit_take(records_of("allanblackia"), ["method"])
    rates = ts.take_rates(model, "method").table
    assert sorted(rates["raw_rate"]) == pytest.approx([0.50, 0.525, 0.55, 0.80], rel=1e-12)
    assert set(rates["trays"]) == {1}


# Pecan: 140 of 142, one lot.


def test_pecan_limits_stay_inside_the_possible(season_page: Any) -> None:
    model = ts.fit_take(records_of("pecan"), [])
    row = ts.take_rates(model, []).table.iloc[0]
    assert row["raw_rate"] == pytest.approx(140 / 142, rel=1e-12)
    # A plus-or-minus two standard errors would pass 100 % here; Wilson's are 95.0 to 99.6 %.
    assert 0.0 < row["low"] < 140 / 142 < row["high"] <= 1.0
    assert "140" in season_page("pecan")
    assert "142" in season_page("pecan")


# Bartlett: four lots of 240 cuttings, no trays.


def bartlett_model() -> ts.TakeModel:
    return cells_of("bartlett", "length", "time")


def test_bartlett_raw_takes_of_the_four_cells() -> None:
    expected = CASES["bartlett_counts_or"]["expected"]["p"]
    order = [("long", "at once"), ("long", "spring"), ("short", "at once"), ("short", "spring")]
    rates = ts.take_rates(bartlett_model(), ["length", "time"]).table
    raw = rates.set_index(["length", "time"])["raw_rate"]
    assert [raw[cell] for cell in order] == pytest.approx(expected, rel=0, abs=1e-6)


def test_bartlett_cell_limits_are_the_jeffreys_ones() -> None:
    # Without trays, one cell each: the model is a binomial with a Beta(1/2, 1/2) prior, whose
    # limits are the Jeffreys limits of the public cases. Our limits are read off a grid of about
    # a hundred cells: within .0005.
    rates = ts.take_rates(bartlett_model(), ["length", "time"]).table.set_index(["length", "time"])
    for cell, case in (
        (("long", "at once"), "ci1_156_of_240_95"),
        (("short", "spring"), "ci1_31_of_240_95"),
    ):
        expected = CASES[case]["expected"]["jeffreys_equal_tail"]
        row = rates.loc[cell]
        assert [row["low"], row["high"]] == pytest.approx(expected, rel=0, abs=5e-4)


@pytest.mark.parametrize(
    ("factor", "level_a", "level_b", "case"),
    [
        ("time", "at once", "spring", "bartlett_margin_time"),
        ("length", "long", "short", "bartlett_margin_length"),
    ],
)
def test_bartlett_plain_differences(factor: str, level_a: str, level_b: str, case: str) -> None:
    # Equal cells: the margin of the published fit is the plain difference of the raw takes.
    gap = ts.differences(bartlett_model(), factor).table.iloc[0]
    sign = {(level_a, level_b): 1, (level_b, level_a): -1}[gap["level_a"], gap["level_b"]]
    expected = CASES[case]["expected"]["rd"]
    assert sign * gap["raw_difference"] == pytest.approx(expected, rel=0, abs=1e-6)
    # Averaged over 240 cuttings a cell the weak prior moves the difference by under half a point.
    assert sign * gap["difference"] == pytest.approx(expected, rel=0, abs=5e-3)


def test_bartlett_page_says_that_grafts_are_counted_as_if_independent(season_page: Any) -> None:
    page = season_page("bartlett")
    assert re.search(r"counted as if independent", page)
    assert "too narrow" in page


def test_bartlett_cuttings_are_not_called_grafts_on_an_understock() -> None:
    trays = records_of("bartlett").trays
    assert set(trays["made_by"]) == {"cutting"}
    assert records_of("bartlett").no_trays


# Crowder: 21 plates of seeds, plate = tray.


@pytest.mark.parametrize(
    ("case", "cell"),
    [
        ("icc_orob2_all", None),
        ("icc_orob2_O75_BEAN", ("O75", "bean")),
        ("icc_orob2_O73_CUCUMBER", ("O73", "cucumber")),
    ],
)
def test_crowder_tray_correlations(case: str, cell: tuple[str, str] | None) -> None:
    trays = records_of("orob2").trays
    if cell:
        trays = trays[(trays["seed"] == cell[0]) & (trays["root"] == cell[1])]
    expected = CASES[case]["expected"]
    assert len(trays) == expected["k"]
    found = ts.intra_tray_correlation(trays["taken"], trays["grafted"])
    assert found.estimate == pytest.approx(expected["anova"], rel=0, abs=1e-6)


def test_crowder_raw_takes_of_the_four_cells() -> None:
    # Crowder 1978, from the 21 plates: 99 of 272, 201 of 295, 49 of 123, 75 of 141.
    model = cells_of("orob2", "seed", "root")
    rates = ts.take_rates(model, ["seed", "root"]).table.set_index(["seed", "root"])
    for cell, taken, grafted in (
        (("O75", "bean"), 99, 272),
        (("O75", "cucumber"), 201, 295),
        (("O73", "bean"), 49, 123),
        (("O73", "cucumber"), 75, 141),
    ):
        assert rates.loc[cell, "taken"] == taken
        assert rates.loc[cell, "grafted"] == grafted
        assert rates.loc[cell, "raw_rate"] == pytest.approx(taken / grafted, rel=1e-12)


def test_crowder_averaged_takes_agree_with_the_published_population_averages() -> None:
    # Averaged takes of the mixed model by maximum likelihood (case orob2_popavg). Another prior
    # and four averaged parts: within 2 points, a fifth of the width of the intervals.
    expected = CASES["orob2_popavg"]["expected"]
    model = cells_of("orob2", "seed", "root")
    rates = ts.take_rates(model, ["seed", "root"]).table.set_index(["seed", "root"])
    for name, averaged in zip(expected["cells"], expected["population_averaged"], strict=True):
        seed, root = name.split()
        row = rates.loc[(seed, root.lower())]
        assert row["take_rate"] == pytest.approx(averaged, rel=0, abs=0.02)
        assert row["low"] < averaged < row["high"]
