"""Curves read aloud."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from typing import Any

from takestats.wording.numbers import column_words, level_text, level_words, percent, points

Row = Mapping[str, Any]


def value_words(value: float) -> str:
    """Say a value on a curve.

    Examples
    --------
    >>> value_words(7.456), value_words(31.2), value_words(0.8123)
    ('7.5', '31', '0.81')
    """
    if abs(value) >= 20.0:
        return f"{value:.0f}"
    return f"{value:.1f}" if abs(value) >= 2.0 else f"{value:.2f}"


def curve_note(over: str, low: float, high: float, level: float) -> str:
    """Say where a curve is drawn and what its band is."""
    return (
        f"Every line of the fit set to the same {column_words(over)}, all else as it was; drawn "
        f"from {value_words(low)} to {value_words(high)}, where nine tenths of the lines lie. "
        f"The band is a {level_words(level)} at each point by itself."
    )


def _who(row: Row, by: Sequence[str]) -> str:
    return ", ".join(level_text(row[name]) for name in by)


def curve_sentences(
    rows: Sequence[Row], over: str, by: Sequence[str], each: int
) -> tuple[str, ...]:
    """Say where a curve starts, peaks and ends."""
    said = []
    for start in range(0, len(rows), each):
        part = rows[start : start + each]
        best = max(part, key=lambda row: float(row["take_rate"]))
        ends = [
            f"{percent(row['take_rate'])} at {value_words(row[over])}"
            for row in (part[0], part[-1])
        ]
        who = f"{_who(part[0], by)}: along" if by else "Along"
        said.append(
            f"{who} {column_words(over)} the take runs from {ends[0]} to {ends[1]}, highest at "
            f"{value_words(best[over])} ({percent(best['take_rate'])})."
        )
    return tuple(said)


def window_note(within: float) -> str:
    """Say what a window is."""
    return (
        f"Window: values whose take is, more likely than not, within {points(within)} of the best; "
        "sure: nine chances in ten."
    )


def window_sentences(
    rows: Sequence[Row],
    over: str,
    by: Sequence[str],
    within: float,
    ends: tuple[float, float],
) -> tuple[str, ...]:
    """Say the window."""
    said = []
    for row in rows:
        who = f"{_who(row, by)}: " if by else ""
        start = "within" if who else "Within"
        sure = (
            "no value is within it with nine chances in ten"
            if math.isnan(row["sure_low"])
            else f"with nine chances in ten from {value_words(row['sure_low'])} to "
            f"{value_words(row['sure_high'])}"
        )
        if math.isnan(row["low"]):
            said.append(
                f"{who}{start} {points(within)} of the best: these trays cannot say at which "
                f"{column_words(over)}."
            )
            continue
        whole = row["low"] <= ends[0] and row["high"] >= ends[1]
        reach = ", all that was tried" if whole else ""
        said.append(
            f"{who}{start} {points(within)} of the best from {value_words(row['low'])} to "
            f"{value_words(row['high'])} {column_words(over)}{reach}; {sure}."
        )
    return tuple(said)
