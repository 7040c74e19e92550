"""Which charts stand on a page?"""

from __future__ import annotations

import math
from collections.abc import Sequence
from functools import partial
from typing import TYPE_CHECKING, NamedTuple, TypeVar

from takestats.charts.gaps import gaps_chart
from takestats.charts.history import history_chart
from takestats.charts.takes import axis_floor, takes_chart
from takestats.pages.parts import Picture
from takestats.pages.rows import (
    gaps_of,
    number,
    rows_of,
    slug,
    takes_of,
    tray_takes,
)
from takestats.wording.charts import Take
from takestats.wording.numbers import (
    level_text,
)
from takestats.wording.said import factor_words

if TYPE_CHECKING:
    from takestats.answers.gaps import Differences
    from takestats.answers.history import SeasonHistory
    from takestats.answers.rates import TakeRates
    from takestats.models.take_model import TakeModel


MOST_LEVELS_DRAWN = 10
#: Charts of one factor; further levels stand in its table.
MOST_PARTS = 3
Item = TypeVar("Item")


class FactorPictures(NamedTuple):
    """The charts of one factor, of its takes and of its differences."""

    takes: list[Picture]
    gaps: list[Picture]

    @property
    def every(self) -> list[Picture]:
        """In the order of the page."""
        return self.takes + self.gaps


def factor_pictures(
    rates: TakeRates, gaps: Differences | None, model: TakeModel, by: str, marker: str
) -> FactorPictures:
    """The charts of a factor; none of differences where its pairs are too many."""
    return FactorPictures(
        takes_pictures(rates, model, by, marker),
        [] if gaps is None else gaps_pictures(gaps, by, marker),
    )


def takes_pictures(rates: TakeRates, model: TakeModel, by: str, marker: str) -> list[Picture]:
    """The charts of a factor's takes: one, or several with one axis when levels are many."""
    takes = takes_of(rates, by)
    trays = tray_takes(model, by)
    low = axis_floor(
        [take.low for take in takes] + [x for values in trays.values() for x in values]
    )
    return [
        Picture(
            draw=partial(
                takes_chart,
                part,
                factor_words(by),
                name=f"take-{slug(by)}{number_of}",
                tray_takes={take.name: trays.get(take.name, []) for take in part},
                floor=low,
                marker=marker,
            )
        )
        for number_of, part in _parts(takes, MOST_LEVELS_DRAWN)
    ]


def gaps_pictures(result: Differences, by: str, marker: str) -> list[Picture]:
    """The charts of a factor's differences."""
    return [
        Picture(
            draw=partial(
                gaps_chart,
                part,
                factor_words(by),
                name=f"gap-{slug(by)}{number_of}",
                marker=marker,
            )
        )
        for number_of, part in _parts(gaps_of(result), MOST_LEVELS_DRAWN)
    ]


def history_pictures(result: SeasonHistory, by: str, marker: str) -> list[Picture]:
    """The charts of earlier seasons, whole levels together."""
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
    levels = list(dict.fromkeys(take.name for _, take in takes))
    return [
        Picture(
            draw=partial(
                history_chart,
                [entry for entry in takes if entry[1].name in part],
                factor_words(by),
                name=f"history-{slug(by)}{number_of}",
                marker=marker,
            )
        )
        for number_of, part in _parts(levels, MOST_LEVELS_DRAWN // 2)
    ]


def _parts(items: Sequence[Item], most: int) -> list[tuple[str, list[Item]]]:
    """Cut a long list into parts that each fit a sheet, three at most, with an ending for names."""
    starts = range(0, len(items), most)[:MOST_PARTS]
    parts = [list(items[start : start + most]) for start in starts]
    return [(f"-{index}" if index else "", part) for index, part in enumerate(parts)]
