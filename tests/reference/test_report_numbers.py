"""Is every number that a report reads out of a published trial the right one?

Counts are summed here again from the published rows; takes, differences and limits are
those of the tables at full precision, rounded here by plain arithmetic. No sentence with
a number may be left unread.
"""

from __future__ import annotations

import re

import pandas as pd
import pytest

from takestats.pages.parts import SeasonReport
from tests.reference.published_reports import PUBLISHED, report_of

NAMES = ("baobab", "bartlett", "orob2")


@pytest.fixture(scope="module", params=NAMES)
def told(request: pytest.FixtureRequest) -> tuple[str, SeasonReport, pd.DataFrame]:
    name = request.param
    raw = pd.read_csv(PUBLISHED / f"{name}.csv", comment="#")
    return name, report_of(name), raw


def _numbers(text: str) -> list[str]:
    plain = re.sub(r"95 % confidence intervals?", "", text.replace(",", ""))
    plain = re.sub(r"\b(?:(?:January|April|October|November) )?\d{4}(?:-\d\d)?\b", "", plain)
    return re.findall(r"(?<![\w.-])-?\d+(?:\.\d+)?", plain)


def _is(token: str, value: float) -> bool:
    return abs(float(token) - value) <= 0.5 * 10.0 ** -len(token.partition(".")[2]) + 1e-9


def _holds(tokens: list[str], values: list[float]) -> None:
    """Each number is one of the values, each value used once, in the order they are said."""
    left = list(values)
    for token in tokens:
        found = next((value for value in left if _is(token, abs(value))), None)
        assert found is not None, (token, left)
        left.remove(found)


def _sums(raw: pd.DataFrame, column: str | None = None, level: str | None = None) -> list[float]:
    mine = raw if column is None else raw[raw[column].astype(str) == level]
    sums = [float(mine["grafted"].sum()), float(mine["taken"].sum())]
    return [*sums, float(mine["tray"].nunique())] if "tray" in raw else sums


def _gap_values(report: SeasonReport, raw: pd.DataFrame, factor: str) -> list[float]:
    row = report.tables[f"difference_by_{factor}"].iloc[0]
    values = [100.0 * row[name] for name in ("difference", "low", "high")]
    values += [values[2] - values[1], 30.0]
    for side in ("a", "b"):
        grafts, _, *trays = _sums(raw, factor, str(row[f"level_{side}"]))
        values += [*trays, grafts]
    return values


def test_the_season_is_summed_from_the_published_rows(told) -> None:
    _, report, raw = told
    line = next(s for s in report.sentences if "grafts made" in s and "Of 100" in s)
    grafts, taken, *trays = _sums(raw)
    row = report.tables["take_overall"].iloc[0]
    takes = [100.0 * row[name] for name in ("take_rate", "low", "high")]
    _holds(_numbers(line), [grafts, *trays, taken, grafts, 100.0, *takes])


def test_every_difference_is_that_of_its_table_and_its_trays_are_counted(told) -> None:
    _, report, raw = told
    factors = [
        name.removeprefix("difference_by_") for name in report.tables if name.startswith("diff")
    ]
    assert factors
    for factor in factors:
        opening = factor.replace("_", " ")
        line = next(
            part
            for said in report.sentences
            for part in said.split("; ")
            if part.lower().startswith(f"{opening}:") or f" {opening}, " in f" {part}".lower()
        )
        whole = next(said for said in report.sentences if line in said)
        part = whole if whole.lower().startswith(f"{opening}:") else whole.split("brackets): ")[1]
        _holds(_numbers(part), _gap_values(report, raw, factor))


def test_takes_that_trays_cannot_pin_down_are_those_of_the_tables(told) -> None:
    name, report, raw = told
    lines = [s for s in report.sentences if s.startswith("Too few trays to say much")]
    assert bool(lines) == (name == "baobab")
    for line in lines:
        values = []
        for factor in ("method", "month"):
            for row in report.tables[f"take_by_{factor}"].to_dict("records"):
                values += [100.0 * row["low"], 100.0 * row["high"]]
                values.append(_sums(raw, factor, str(row[factor]))[2])
        _holds(_numbers(line), values)


def test_no_sentence_with_a_number_is_left_unread(told) -> None:
    _, report, _ = told
    read = ("grafts made", "more than", "took better", "cannot tell", "Too few trays to say much")
    for said in report.sentences:
        if _numbers(said):
            assert any(words in said for words in read), said
