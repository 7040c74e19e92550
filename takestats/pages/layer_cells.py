"""How are strata, groups, seasons and layers set as tables on a page?"""

from __future__ import annotations

from typing import TYPE_CHECKING

from takestats.pages.cells import GAP_HEADER, gap_values
from takestats.pages.parts import Cells
from takestats.pages.rows import number, rows_of
from takestats.wording.charts import difference_value, ratio_words, take_value
from takestats.wording.held import strata_name
from takestats.wording.layer_answers import spread_value, spread_what, units_words
from takestats.wording.numbers import chance, count_of, level_text, percent, whole
from takestats.wording.said import factor_words
from takestats.wording.sections import limit_header

if TYPE_CHECKING:
    from pandas import DataFrame

    from takestats.answers.expected_take import ExpectedTake
    from takestats.answers.group_takes import GroupTakes
    from takestats.answers.held import HeldDifference
    from takestats.answers.model_layer import ModelLayer

MOST_ROWS = 60


def held_cells(result: HeldDifference, *, caption: str) -> Cells:
    """The difference inside each stratum, with what is behind it; seasons oldest first."""
    table = result.table
    if result.within == "season":
        table = table.sort_values("season", kind="stable")
    return Cells(
        caption=caption,
        header=(strata_name(result.within), *GAP_HEADER),
        rows=tuple((level_text(row[result.within]), *gap_values(row)) for row in rows_of(table)),
        numbers=(False, False, True, True, True, True),
    )


def contrasts_cells(result: HeldDifference, *, caption: str, where: str) -> Cells:
    """Two strata at a time: how much larger the difference is in the first."""
    table = result.contrasts
    rest = len(table) - MOST_ROWS
    return Cells(
        caption=caption,
        header=(
            "two at a time",
            "first minus second",
            "difference of the two differences (95 % interval)",
            "ratio of the odds ratios (95 % interval)",
            "p",
            "p, adjusted",
        ),
        rows=tuple(
            (
                f"{level_text(row['first'])} against {level_text(row['second'])}",
                f"{level_text(row['level_a'])} minus {level_text(row['level_b'])}",
                difference_value(row["more"], row["low"], row["high"]),
                ratio_words(row["ratio_of_odds_ratios"], row["ratio_low"], row["ratio_high"]),
                chance(number(row["p_value"])),
                chance(number(row["p_adjusted"])),
            )
            for row in rows_of(table.head(MOST_ROWS))
        ),
        numbers=(False, False, True, True, True, True),
        after=_more(rest, where),
    )


def shrunk_cells(result: GroupTakes, *, caption: str, where: str) -> Cells:
    """Shrunk takes beside unshrunk ones, and the trays behind them."""
    table = result.table
    return Cells(
        caption=caption,
        header=(
            factor_words(result.grouping),
            "shrunk take (95 % interval)",
            "unshrunk take (95 % interval)",
            "drawn to the mean",
            "trays",
            "grafts",
            "raw take",
        ),
        rows=tuple(
            (
                level_text(row[result.grouping]),
                take_value(row["take_rate"], row["low"], row["high"]),
                take_value(row["unshrunk_take"], row["unshrunk_low"], row["unshrunk_high"]),
                percent(number(row["shrunk_by"])),
                whole(number(row["trays"])),
                whole(number(row["grafts"])),
                percent(number(row["raw_rate"])),
            )
            for row in rows_of(table.head(MOST_ROWS))
        ),
        numbers=(False, *(True,) * 6),
        after=_more(len(table) - MOST_ROWS, where),
    )


def expected_cells(result: ExpectedTake, *, caption: str, where: str) -> Cells:
    """The next season's take with its lower limit, and the seasons behind it."""
    table = result.table
    (by,) = result.by
    return Cells(
        caption=caption,
        header=(
            factor_words(by),
            "expected take",
            limit_header(result.level),
            "seasons",
            "trays",
            "grafts",
        ),
        rows=tuple(
            (
                level_text(row[by]),
                percent(number(row["expected_take"])),
                percent(number(row["low"])),
                whole(number(row["seasons"])),
                whole(number(row["trays"])),
                whole(number(row["grafts"])),
            )
            for row in rows_of(table.head(MOST_ROWS))
        ),
        numbers=(False, *(True,) * 5),
        after=_more(len(table) - MOST_ROWS, where),
    )


def units_cells(result: ModelLayer, *, caption: str) -> Cells:
    """Blocks or days, and trays, behind each level."""
    return Cells(
        caption=caption,
        header=("level", "factor", units_words(result.column), "trays", "given to whole ones"),
        rows=tuple(
            (
                level_text(row["level"]),
                factor_words(str(row["factor"])),
                whole(number(row["units"])),
                whole(number(row["trays"])),
                "yes" if row["whole"] else "no",
            )
            for row in rows_of(result.table)
        ),
        numbers=(False, False, True, True, False),
    )


def layer_spread_cells(table: DataFrame, *, caption: str) -> Cells:
    """How much blocks, days or rows differ."""
    return Cells(
        caption=caption,
        header=("spread", "standard deviation in log odds (95 % interval)"),
        rows=tuple((spread_what(str(row["what"])), spread_value(row)) for row in rows_of(table)),
        numbers=(False, True),
    )


def _more(rest: int, where: str) -> str:
    return f"{count_of(rest, 'more row')} in tables/{where}.csv." if rest > 0 else ""
