"""Does the difference hold across species? Asked on a page and at the command line."""

from __future__ import annotations

import json
from pathlib import Path

import numpy as np
import pandas as pd
import pytest

from takestats.cli.app import main
from takestats.errors import DesignError, UnknownColumnError
from takestats.pages.comparison_page import comparison_report
from takestats.pages.render import page_bytes
from takestats.pages.strata import find_strata
from takestats.records.read import records_from_frame
from takestats.records.result import Records
from tests.pages.page_words import page_words

MOTH, WREN = "Hamamelis × intermedia 'Copper Moth'", "Hamamelis × intermedia 'Saffron Wren'"
SENTRY, KITE = "Carpinus betulus 'Grey Sentry'", "Carpinus japonica 'Paper Kite'"


def _frame(takes: dict[tuple[str, str], float], trays: int = 5) -> pd.DataFrame:
    rng = np.random.default_rng(3)
    rows = [
        {"method": method, "scion": scion, "taken": rng.binomial(30, take)}
        for (method, scion), take in takes.items()
        for _ in range(trays)
    ]
    frame = pd.DataFrame(rows).assign(season="2026", grafted=30, count_date="2026-06-15")
    frame["understock"] = [f"{scion.split()[0]} seedlings" for scion in frame["scion"]]
    frame["tray"] = [f"T{i:02d}" for i in range(len(frame))]
    return frame


def _records(frame: pd.DataFrame) -> Records:
    return records_from_frame(frame, trial={"compare": {"factors": ["method", "combination"]}})


ALIKE = {(m, s): t for m, t in (("cleft", 0.6), ("side veneer", 0.9)) for s in (MOTH, WREN, SENTRY)}


def test_a_difference_that_holds_in_every_species_is_said_so() -> None:
    report = comparison_report(_records(_frame(ALIKE)), "method", within="species")
    table = report.tables["difference_by_method_within_scion_species"]
    assert sorted(table["scion_species"]) == ["Carpinus betulus", "Hamamelis × intermedia"]
    assert table["trays_a"].sum() == 15  # three cultivars of two species, five trays each
    (said,) = (line for line in report.sentences if "in both species" in line)
    assert said.startswith("Side veneer took better than cleft in both species, by ")
    words = page_words(page_bytes(report).decode("utf-8"))
    assert said in words
    assert "Does the difference hold from species to species" in words
    assert "significan" not in words


def test_what_stands_inside_the_strata_is_not_held_apart_and_said() -> None:
    said = comparison_report(_records(_frame(ALIKE)), "method", within="species").in_words()
    assert (
        "Each combination stands in one species alone: every species is averaged over its own mix "
        "of combination." in said
    )


def test_season_by_season_on_a_page_of_its_own() -> None:
    first = _frame(ALIKE).assign(season="2025", count_date="2025-06-15")
    both = pd.concat([first, _frame(ALIKE)], ignore_index=True)
    report = comparison_report(_records(both), "method", within="season")
    assert any("in both seasons" in line for line in report.sentences)
    assert report.sentences[0].startswith("Season 2026: 900 grafts made in 30 trays; at the")
    assert "15 June 2026" in report.sentences[0]
    assert "2025" not in report.sentences[0]
    assert "season 2025 to 2026" in report.table_notes["difference_by_method_within_season"]


def test_a_difference_that_turns_round_is_said_so() -> None:
    turned = {**ALIKE, ("cleft", SENTRY): 0.95, ("side veneer", SENTRY): 0.55}
    report = comparison_report(_records(_frame(turned)), "method", within="species")
    assert any("differs across 2 species" in line for line in report.sentences)
    pair = report.tables["difference_of_differences_by_method_within_scion_species"].iloc[0]
    assert pair["low"] * pair["high"] > 0


def test_empty_cells_are_named_and_the_rest_is_compared() -> None:
    takes = {**ALIKE, ("cleft", KITE): 0.7}
    report = comparison_report(_records(_frame(takes)), "method", within="species")
    said = report.in_words()
    assert "No counted tray of side veneer in Carpinus japonica" in said
    assert (
        "Cleft and side veneer are compared inside Hamamelis × intermedia and Carpinus betulus"
        in said
    )
    assert len(report.tables["difference_by_method_within_scion_species"]) == 2
    # The season as a whole, and the table of trays, keep the trays that stand outside.
    assert report.tables["take_overall"].loc[0, "trays"] == 35
    assert len(report.tables["trays"]) == 35


def test_one_species_alone_has_both() -> None:
    takes = {("cleft", MOTH): 0.7, ("side veneer", MOTH): 0.9, ("cleft", KITE): 0.7}
    report = comparison_report(_records(_frame(takes)), "method", within="species")
    assert "are compared inside Hamamelis × intermedia." in report.in_words()
    assert report.tables["difference_by_method"]["trays_a"].tolist() == [5]
    assert "difference_by_method_within_scion_species" not in report.tables


def test_three_methods_of_which_two_share_most_species() -> None:
    frame = _frame({**ALIKE, ("splice", MOTH): 0.8})
    counted = frame.assign(scion_species=[s.split(" '")[0] for s in frame["scion"]])
    strata = find_strata(counted, "method", "scion_species")
    assert strata.levels == ("cleft", "side veneer")
    assert strata.said[0].startswith("No counted tray of splice in Carpinus betulus")
    report = comparison_report(_records(frame), "method", within="scion_species")
    assert len(report.tables["difference_by_method"]) == 1


def test_where_every_graft_took_neither_was_ahead() -> None:
    frame = _frame(ALIKE).assign(taken=30)
    report = comparison_report(_records(frame), "method", within="species")
    assert "neither was ahead anywhere, clear of zero in 0" in report.in_words()


def test_no_species_with_both_is_refused() -> None:
    frame = _frame({("cleft", MOTH): 0.7, ("side veneer", SENTRY): 0.9})
    with pytest.raises(DesignError) as told:
        comparison_report(_records(frame), "method", within="species")
    assert "no scion species has counted trays of two of cleft and side veneer" in told.value.what


def test_what_cannot_be_a_stratum_is_told() -> None:
    records = _records(_frame(ALIKE))
    with pytest.raises(DesignError):
        comparison_report(records, "method", within="method")
    with pytest.raises(UnknownColumnError):
        comparison_report(records, "method", within="colour")
    with pytest.raises(DesignError):
        comparison_report(records, "method", within="season")


def test_at_the_command_line(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.chdir(tmp_path)
    _frame(ALIKE).to_csv("bench.csv", index=False)
    words = ["compare", "bench.csv", "--by", "method", "--within", "species"]
    assert main(words) == 0
    assert "in both species" in capsys.readouterr().out
    csv = tmp_path / "takestats_comparison" / "tables"
    assert (csv / "difference_by_method_within_scion_species.csv").is_file()
    assert main([*words, "--json"]) == 0
    tables = json.loads(capsys.readouterr().out)["tables"]
    (pair,) = tables["difference_of_differences_by_method_within_scion_species"]
    assert {pair["first"], pair["second"]} == {"Hamamelis × intermedia", "Carpinus betulus"}
    assert main(["compare", "bench.csv", "--by", "method", "--within", "method"]) == 2
