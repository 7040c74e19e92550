"""How do the rows of a result become values that words and charts take?"""

from __future__ import annotations

import hashlib
import math
import re
from typing import TYPE_CHECKING, Any

from pandas import DataFrame

from takestats.wording.charts import Gap, Take
from takestats.wording.compared import Difference
from takestats.wording.numbers import (
    level_text,
)

if TYPE_CHECKING:
    from takestats.answers.gaps import Differences
    from takestats.answers.odds import OddsRatios
    from takestats.answers.rates import TakeRates
    from takestats.models.take_model import TakeModel


def rows_of(table: DataFrame) -> list[dict[str, Any]]:
    """A table as one dictionary per row."""
    return [{str(k): v for k, v in row.items()} for row in table.to_dict("records")]


def number(value: object) -> float:
    """A cell as a float; a missing one as nan."""
    try:
        return float(value)  # type: ignore[arg-type]
    except (TypeError, ValueError):
        return math.nan


def takes_of(rates: TakeRates, by: str) -> list[Take]:
    """The takes of a factor's levels, in the table's order."""
    return [
        Take(
            level_text(row[by]),
            row["take_rate"],
            row["low"],
            row["high"],
            number(row["taken"]),
            number(row["grafts"]),
            number(row["trays"]),
        )
        for row in rows_of(rates.table)
    ]


def overall_take(rates: TakeRates) -> Take:
    """The take of the whole season."""
    row = rows_of(rates.table)[0]
    return Take(
        "all",
        row["take_rate"],
        row["low"],
        row["high"],
        number(row["taken"]),
        number(row["grafts"]),
        number(row["trays"]),
    )


def gaps_of(result: Differences) -> list[Gap]:
    """The differences of a factor for the chart."""
    return [
        Gap(
            level_text(row["level_a"]),
            level_text(row["level_b"]),
            row["difference"],
            row["low"],
            row["high"],
            number(row["raw_difference"]),
            number(row["quick_low"]),
            number(row["quick_high"]),
        )
        for row in rows_of(result.table)
    ]


def differences_of(result: Differences, factor: str) -> list[Difference]:
    """The differences of a factor for the sentences."""
    return [
        Difference(
            factor,
            level_text(row["level_a"]),
            level_text(row["level_b"]),
            row["difference"],
            row["low"],
            row["high"],
            number(row["trays_a"]),
            number(row["trays_b"]),
            number(row["grafts_a"]),
            number(row["grafts_b"]),
        )
        for row in rows_of(result.table)
    ]


def tray_takes(model: TakeModel, by: str) -> dict[str, list[float]]:
    """The take of each tray as counted, by level; rows of one tray and level together.

    Empty where no trays were recorded.
    """
    if not model.trays_recorded:
        return {}
    lines = model.lines
    sums = lines.groupby([by, "tray_id"], sort=True)[["taken", "tried"]].sum().reset_index()
    takes: dict[str, list[float]] = {}
    for row in rows_of(sums):
        if row["tried"] > 0:
            rate = float(row["taken"] / row["tried"])
            takes.setdefault(level_text(row[by]), []).append(rate)
    return takes


def same_direction(ratios: OddsRatios, result: Differences) -> DataFrame:
    """Odds ratios of the pairs of a table of differences, each turned the same way.

    Parameters
    ----------
    ratios : OddsRatios
        Every pair, one way or the other.
    result : Differences
        The pairs to show.

    Returns
    -------
    pandas.DataFrame
        level_a, level_b, odds_ratio, low, high; an open side stays open.
    """
    found: dict[tuple[str, str], tuple[float, float, float]] = {}
    for row in rows_of(ratios.table):
        a, b = row["level_a"], row["level_b"]
        value, low, high = row["odds_ratio"], row["low"], row["high"]
        found[(a, b)] = (value, low, high)
        found[(b, a)] = (_turned(value), _turned(high), _turned(low))
    missing = (math.nan, math.nan, math.nan)
    pairs = [(row["level_a"], row["level_b"]) for row in rows_of(result.table)]
    return DataFrame(
        [(*pair, *found.get(pair, missing)) for pair in pairs],
        columns=["level_a", "level_b", "odds_ratio", "low", "high"],
    )


def _turned(ratio: float) -> float:
    if math.isinf(ratio):
        return 0.0
    return 1.0 / ratio if ratio > 0.0 else math.inf


def cell_text(value: object) -> str:
    """A cell of words: blank when missing, dates without the hour."""
    if value is None or str(value) in {"nan", "<NA>", "NaT", "None"}:
        return ""
    if hasattr(value, "date") and callable(value.date):
        return str(value.date().isoformat())
    if isinstance(value, float) and value.is_integer():
        return str(int(value))
    return str(value)


def slug(text: str) -> str:
    """A name for files and addresses: letters, digits and hyphens.

    A name of which signs are lost, or that is cut, ends with a mark of the whole, so that two
    of them stay two.

    Examples
    --------
    >>> slug("union_height_mm"), slug("Härte / Los")
    ('union-height-mm', 'h-rte-los-a0beb38a')
    """
    kept = "".join(c if c.isascii() and c.isalnum() else "-" for c in text.lower())
    plain = "-".join(part for part in kept.split("-") if part) or "column"
    if len(plain) <= _LONGEST_SLUG and _KEPT_WHOLE.match(text):
        return plain
    mark = hashlib.sha256(text.encode("utf-8", "replace")).hexdigest()[:8]
    return f"{plain[:_LONGEST_SLUG].rstrip('-')}-{mark}"


_KEPT_WHOLE = re.compile(r"[A-Za-z0-9]+(?:[ _-][A-Za-z0-9]+)*\Z")
_LONGEST_SLUG = 48
