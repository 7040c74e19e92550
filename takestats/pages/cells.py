"""How is a result set as a table on a page?"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING, Any

from pandas import DataFrame

from takestats.pages.parts import Cells
from takestats.pages.rows import (
    cell_text,
    number,
    rows_of,
    same_direction,
    takes_of,
)
from takestats.wording.charts import both_counts, difference_value, ratio_words, take_value
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
from takestats.wording.said import factor_words
from takestats.wording.second_look import look_value

if TYPE_CHECKING:
    from takestats.answers.gaps import Differences
    from takestats.answers.history import SeasonHistory
    from takestats.answers.odds import OddsRatios
    from takestats.answers.rates import TakeRates
    from takestats.answers.second_opinions import SecondOpinions


MOST_ROWS = 60


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


#: Headings of :func:`gap_values`.
GAP_HEADER = (
    "first minus second",
    "difference (95 % interval)",
    "raw difference (quick limits)",
    "trays",
    "grafts",
)


def gap_values(row: Mapping[str, Any]) -> tuple[str, ...]:
    """One difference, adjusted and raw, with what is behind it."""
    return (
        f"{level_text(row['level_a'])} minus {level_text(row['level_b'])}",
        difference_value(row["difference"], row["low"], row["high"]),
        difference_value(
            number(row["raw_difference"]), number(row["quick_low"]), number(row["quick_high"])
        ),
        both_counts(number(row["trays_a"]), number(row["trays_b"])),
        both_counts(number(row["grafts_a"]), number(row["grafts_b"])),
    )


def gaps_cells(result: Differences, by: str, *, caption: str) -> Cells:
    """Differences in points, adjusted and raw."""
    return Cells(
        caption=caption,
        header=GAP_HEADER,
        rows=tuple(gap_values(row) for row in rows_of(result.table)),
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


def looks_cells(result: SecondOpinions, *, caption: str) -> Cells:
    """Differences by other methods, or why there is none."""
    return Cells(
        caption=caption,
        header=("first minus second", "method", "difference (95 % interval)"),
        rows=tuple(
            (
                f"{level_text(row['level_a'])} minus {level_text(row['level_b'])}",
                str(row["method"]),
                look_value(
                    number(row["difference"]),
                    number(row["low"]),
                    number(row["high"]),
                    str(row["answer"]),
                ),
            )
            for row in rows_of(result.table)
        ),
        numbers=(False, False, True),
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
        numbers=(False, True, True, True, True, True),
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
