"""Second looks read aloud: other methods on the same trays."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from typing import Any

from takestats.wording.numbers import (
    column_words,
    level_text,
    plain,
    points,
    points_interval,
    points_number,
    small,
)

NO_LIMITS = (
    "Wald limits fall short near 100 % and with few trays; this engine is for reference and for "
    "a second look, never the headline."
)


def wald_notes(method: str, spread: float, log_likelihood: float) -> tuple[str, ...]:
    """Say how a likelihood fit or estimating equations were made."""
    name = {"q": "dispersion", "G": "working correlation"}.get(method[0], "spread")
    fitted = "" if math.isnan(log_likelihood) else f"; log likelihood {plain(log_likelihood)}"
    found = f"{name} {small(spread)}"
    if name == "spread" and spread == 0.0:
        found = "the trays differ no more than chance would have them"
    return (f"{method[:1].upper()}{method[1:]}: {found}{fitted}.", NO_LIMITS)


def opinion_sentences(rows: Sequence[Mapping[str, Any]]) -> tuple[str, ...]:
    """Read second looks aloud."""
    said = []
    for row in rows:
        pair = f"{level_text(row['level_a'])} minus {level_text(row['level_b'])}"
        if row["answer"] != "answer":
            said.append(f"{pair}, {row['method']}: {row['answer']}.")
            continue
        gap = points_interval(row["difference"], row["low"], row["high"])
        said.append(f"{pair}, {row['method']}: {gap}.")
    return tuple(said)


def look_value(difference: float, low: float, high: float, answer: str) -> str:
    """Say one second look in a cell.

    Examples
    --------
    >>> look_value(0.05, -0.02, 0.11, "answer")
    '5 points (-2 to 11)'
    >>> look_value(float("nan"), 0.0, 0.0, "no answer: every graft of cleft took")
    'no answer: every graft of cleft took'
    """
    if answer != "answer":
        return answer
    return f"{points(difference)} ({points_number(low)} to {points_number(high)})"


def opinion_note(by: Sequence[str]) -> str:
    """Say what a second look is for."""
    names = ", ".join(column_words(name) for name in by)
    return (
        f"Second looks at the differences by {names}: other methods on the same trays, averaged "
        "over the same mix. They are not the headline: near 100 % and with few trays their limits "
        "fall short, or they have no answer."
    )
