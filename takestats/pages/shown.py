"""How do the rows of a result become what charts and tables show?"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from functools import partial
from typing import TYPE_CHECKING, Any

from pandas import DataFrame

from takestats.charts.gaps import gaps_chart
from takestats.charts.history import history_chart
from takestats.charts.takes import takes_chart
from takestats.pages.parts import Cells, Picture
from takestats.wording.charts import Gap, Take, difference_value, ratio_words, take_value
from takestats.wording.numbers import (
    NOT_RECORDED,
    chance,
    column_words,
    count_of,
    level_text,
    percent,
    percent_range,
    points_range,
    small,
    whole,
)
from takestats.wording.season import Difference, factor_words

if TYPE_CHECKING:
    from takestats.answers.gaps import Differences
    from takestats.answers.history import SeasonHistory
    from takestats.answers.odds import OddsRatios
    from takestats.answers.rates import TakeRates
    from takestats.models.take_model import TakeModel

MOST_ROWS = 60


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
        )
        for row in rows_of(result.table)
    ]


def tray_takes(model: TakeModel, by: str) -> dict[str, list[float]]:
    """The take of each tray as counted, by level; rows of one tray and level together."""
    lines = model.lines
    sums = lines.groupby([by, "tray_id"], sort=True)[["taken", "tried"]].sum().reset_index()
    takes: dict[str, list[float]] = {}
    for row in rows_of(sums):
        if row["tried"] > 0:
            rate = float(row["taken"] / row["tried"])
            takes.setdefault(level_text(row[by]), []).append(rate)
    return takes


def takes_picture(rates: TakeRates, model: TakeModel, by: str, marker: str) -> Picture:
    """The chart of a factor's takes."""
    return Picture(
        draw=partial(
            takes_chart,
            takes_of(rates, by),
            factor_words(by),
            name=f"take-{slug(by)}",
            tray_takes=tray_takes(model, by),
            marker=marker,
        )
    )


def gaps_picture(result: Differences, by: str, marker: str) -> Picture:
    """The chart of a factor's differences."""
    return Picture(
        draw=partial(
            gaps_chart, gaps_of(result), factor_words(by), name=f"gap-{slug(by)}", marker=marker
        )
    )


def history_picture(result: SeasonHistory, by: str, marker: str) -> Picture:
    """The chart of earlier seasons."""
    takes = [
        (
            str(row["season"]),
            Take(
                level_text(row[by]),
                row["raw_rate"],
                row["raw_low"],
                row["raw_high"],
                number(row["taken"]),
                number(row["tried"]),
                number(row["trays"]),
            ),
        )
        for row in rows_of(result.table)
        if not math.isnan(number(row["raw_rate"]))
    ]
    return Picture(
        draw=partial(
            history_chart, takes, factor_words(by), name=f"history-{slug(by)}", marker=marker
        )
    )


def rates_cells(rates: TakeRates, by: str, *, caption: str) -> Cells:
    """Take by level with everything it is a share of."""
    rows = []
    for row in rows_of(rates.table):
        live = number(row["raw_rate_live"])
        rows.append(
            (
                level_text(row[by]),
                take_value(row["take_rate"], row["low"], row["high"]),
                whole(number(row["trays"])),
                whole(number(row["grafted"])),
                whole(number(row["taken"])),
                whole(number(row["understock_dead"])),
                whole(number(row["missing"])),
                percent(number(row["raw_rate"])),
                percent(live) if not math.isnan(live) else NOT_RECORDED,
            )
        )
    return Cells(
        caption=caption,
        header=(
            factor_words(by),
            "take (95 % interval)",
            "trays",
            "grafts made",
            "taken",
            "understock dead",
            "missing",
            "raw take of made",
            "raw take of live understock",
        ),
        rows=tuple(rows),
        numbers=(False, *(True,) * 8),
    )


def short_rates_cells(rates: TakeRates, by: str, *, caption: str) -> Cells:
    """Take by level, as short as a bench sheet needs it."""
    return Cells(
        caption=caption,
        header=(factor_words(by), "took", "trays", "take (95 % interval)"),
        rows=tuple(
            (
                take.name,
                f"{whole(take.taken)} of {whole(take.tried)}",
                whole(take.trays),
                take_value(take.rate, take.low, take.high),
            )
            for take in takes_of(rates, by)
        ),
        numbers=(False, True, True, True),
    )


def raw_cells(rates: Mapping[str, TakeRates], *, caption: str) -> Cells:
    """The raw take of a level's own trays beside the one that the model makes comparable."""
    return Cells(
        caption=caption,
        header=("level", "factor", "raw take (quick limits)", "take compared (95 % interval)"),
        rows=tuple(
            (
                level_text(row[factor]),
                factor_words(factor),
                take_value(row["raw_rate"], row["raw_low"], row["raw_high"]),
                take_value(row["take_rate"], row["low"], row["high"]),
            )
            for factor, result in rates.items()
            for row in rows_of(result.table)
        ),
        numbers=(False, False, True, True),
    )


def gaps_cells(result: Differences, by: str, *, caption: str) -> Cells:
    """Differences in points, adjusted and raw."""
    return Cells(
        caption=caption,
        header=(
            "first minus second",
            "difference (95 % interval)",
            "raw difference (quick limits)",
            "trays",
            "grafts",
        ),
        rows=tuple(
            (
                f"{level_text(row['level_a'])} minus {level_text(row['level_b'])}",
                difference_value(row["difference"], row["low"], row["high"]),
                difference_value(
                    number(row["raw_difference"]),
                    number(row["quick_low"]),
                    number(row["quick_high"]),
                ),
                f"{whole(number(row['trays_a']))} and {whole(number(row['trays_b']))}",
                f"{whole(number(row['grafts_a']))} and {whole(number(row['grafts_b']))}",
            )
            for row in rows_of(result.table)
        ),
        numbers=(False, True, True, True, True),
    )


def tails_cells(
    results: Mapping[str, Differences], ratios: Mapping[str, OddsRatios], *, caption: str
) -> Cells:
    """Odds ratios and tail areas of the same pairs, factor by factor."""
    rows = []
    for factor, result in results.items():
        turned = rows_of(same_direction(ratios[factor], result))
        for row, ratio in zip(rows_of(result.table), turned, strict=True):
            rows.append(
                (
                    f"{level_text(row['level_a'])} against {level_text(row['level_b'])}",
                    factor_words(factor),
                    ratio_words(ratio["odds_ratio"], ratio["low"], ratio["high"]),
                    chance(number(row["p_value"])),
                    chance(number(row["p_adjusted"])),
                    points_range(number(row["quick_low"]), number(row["quick_high"])),
                )
            )
    return Cells(
        caption=caption,
        header=(
            "pair",
            "factor",
            "odds ratio averaged over trays (95 % interval)",
            "p",
            "p, adjusted",
            "second look: raw difference",
        ),
        rows=tuple(rows),
        numbers=(False, False, True, True, True, True),
    )


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


def spread_cells(table: DataFrame, *, caption: str, after: str) -> Cells:
    """Intra-tray correlation, as an interval only."""
    return Cells(
        caption=caption,
        header=("trays of", "intra-tray correlation (95 % interval)", "trays"),
        rows=tuple(
            (
                level_text(row["level"]),
                f"{small(number(row['low']))} to {small(number(row['high']))}",
                whole(number(row["trays"])),
            )
            for row in rows_of(table)
        ),
        numbers=(False, True, True),
        after=after,
    )


def history_cells(result: SeasonHistory, by: str, *, caption: str) -> Cells:
    """Raw takes per season and level."""
    return Cells(
        caption=caption,
        header=(factor_words(by), "season", "took", "trays", "raw take", "quick limits"),
        rows=tuple(
            (
                level_text(row[by]),
                str(row["season"]),
                f"{whole(number(row['taken']))} of {whole(number(row['tried']))}",
                whole(number(row["trays"])),
                percent(number(row["raw_rate"])),
                percent_range(number(row["raw_low"]), number(row["raw_high"])),
            )
            for row in rows_of(result.table)
        ),
        numbers=(False, False, True, True, True, True),
    )


def text_cells(table: DataFrame, columns: Sequence[str], *, caption: str, where: str) -> Cells:
    """Any table of words; long ones are cut on the page and whole in their CSV file."""
    kept = [name for name in columns if name in table.columns]
    shown = table.head(MOST_ROWS)
    rest = len(table) - len(shown)
    return Cells(
        caption=caption,
        header=tuple(column_words(name) for name in kept),
        rows=tuple(tuple(cell_text(row[name]) for name in kept) for row in rows_of(shown)),
        numbers=(False,) * len(kept),
        after=f"{count_of(rest, 'more row')} in tables/{where}.csv." if rest else "",
    )


def cell_text(value: object) -> str:
    """A cell of words: blank when missing, dates without the hour."""
    if value is None or str(value) in {"nan", "<NA>", "NaT", "None"}:
        return ""
    if hasattr(value, "date") and callable(value.date):
        return str(value.date().isoformat())
    if isinstance(value, float) and value.is_integer():
        return f"{value:.0f}"
    return str(value)


def slug(text: str) -> str:
    """A name for files and addresses: letters, digits and hyphens.

    Examples
    --------
    >>> slug("union_height_mm"), slug("Härte / Los")
    ('union-height-mm', 'h-rte-los')
    """
    kept = "".join(c if c.isascii() and c.isalnum() else "-" for c in text.lower())
    return "-".join(part for part in kept.split("-") if part) or "column"
