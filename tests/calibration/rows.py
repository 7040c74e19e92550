"""Which rows are there, what does each simulate, and which code does it hang on?"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import pandas as pd

from tests.calibration.bars import long_form, lowest
from tests.calibration.blocks import block_settings, judge_blocks
from tests.calibration.grouping import grouping_settings, judge_grouping
from tests.calibration.new_season import (
    judge_new_season,
    new_season_settings,
    pooled_season_settings,
)
from tests.calibration.order_met import (
    judge_order,
    order_settings,
    pooled_order_settings,
)
from tests.calibration.pieces import FRESH, Piece, kept, make_pieces, pieces_of
from tests.calibration.planning import judge_planned, planned_designs
from tests.calibration.regression import judge_regression, regression_settings
from tests.calibration.several_rows import judge_rows, rows_settings
from tests.calibration.through_fit import fit_take_settings, judge_fit_take
from tests.calibration.two_arms import (
    grid_settings,
    judge,
    two_tray_settings,
    unequal_settings,
)
from tests.calibration.widths import judge_widths

_TRUTHS = "tests/calibration/truths.py"
_GRID = (
    "takestats/models/averaged_take.py",
    "takestats/models/batched.py",
    "takestats/models/likelihoods.py",
    "takestats/models/phi_grid.py",
    "takestats/models/spread.py",
    _TRUTHS,
    "tests/calibration/two_arms.py",
)
# What computes the limits; words and tables around them are held by the ordinary tests.
_EXACT = (
    "takestats/models/averaged_take.py",
    "takestats/models/grid.py",
    "takestats/models/grid_pairs.py",
    "takestats/models/grid_posterior.py",
    "takestats/models/likelihoods.py",
    "takestats/models/phi_grid.py",
    "takestats/models/spread.py",
    _TRUTHS,
    "tests/calibration/through_fit.py",
)
_SAMPLED = (
    "takestats/models/averaged_take.py",
    "takestats/models/sampled*.py",
    "takestats/models/splines.py",
    "takestats/models/weighted.py",
    _TRUTHS,
    "tests/calibration/through_fit.py",
    "tests/calibration/regression.py",
)
_GROUPED = (
    "takestats/models/averaged_take.py",
    "takestats/models/grid.py",
    "takestats/models/grid_pairs.py",
    "takestats/models/grid_posterior.py",
    "takestats/models/grouped*.py",
    "takestats/models/likelihoods.py",
    "takestats/models/phi_grid.py",
    "takestats/models/spread.py",
    _TRUTHS,
    "tests/calibration/grouping.py",
)
_SEASONS = (*_GROUPED, "tests/calibration/new_season.py")
_ORDERS = (
    *_SEASONS,
    "takestats/order/past_seasons.py",
    "takestats/order/plants_to_come.py",
    "takestats/order/season_nodes.py",
    "tests/calibration/order_met.py",
)
_LAYERED = (
    "takestats/models/averaged_take.py",
    "takestats/models/layered*.py",
    "takestats/models/sampled*.py",
    "takestats/models/weighted.py",
    _TRUTHS,
    "tests/calibration/through_fit.py",
)
_BLOCKS = (*_LAYERED, "tests/calibration/blocks.py", "tests/calibration/grouping.py")
_ROWS = (*_LAYERED, "tests/calibration/several_rows.py")
_PLANNING = (
    *_GRID,
    "takestats/planning/judged.py",
    "takestats/planning/one_arm.py",
    "takestats/planning/power.py",
    "takestats/planning/question.py",
    "takestats/planning/simulated.py",
    "tests/calibration/planning.py",
)
AGAIN_TRIALS = 4000


@dataclass(frozen=True)
class Row:
    """One row of the table of bars.

    Parameters
    ----------
    name : str
    settings : callable
        Gives all settings.
    judge : callable
        One record for a setting.
    trials : int
        Of each setting, unless the command says otherwise.
    sources : tuple of str
    seeds : int
        How many of the seeds it runs with by default: the long rows once.
    size : int
        Settings of a piece.
    """

    name: str
    settings: Callable[[], Sequence[Any]]
    judge: Callable[[Any, int, tuple[int, ...]], dict[str, Any]]
    trials: int
    sources: tuple[str, ...]
    seeds: int
    size: int


ROWS = {
    row.name: row
    for row in (
        Row("grid", grid_settings, judge, 1000, _GRID, 3, 18),
        Row("unequal", unequal_settings, judge, 1000, _GRID, 3, 15),
        Row("two-trays", two_tray_settings, judge, 1000, _GRID, 3, 18),
        Row(
            "widths",
            grid_settings,
            judge_widths,
            1000,
            (*_GRID, "tests/calibration/widths.py"),
            3,
            18,
        ),
        Row(
            "fit-take",
            fit_take_settings,
            judge_fit_take,
            500,
            _EXACT,
            1,
            1,
        ),
        Row(
            "regression",
            regression_settings,
            judge_regression,
            200,
            _SAMPLED,
            1,
            1,
        ),
        Row("blocks", block_settings, judge_blocks, 80, _BLOCKS, 1, 1),
        Row("several-rows", rows_settings, judge_rows, 80, _ROWS, 1, 1),
        Row("grouping", grouping_settings, judge_grouping, 80, _GROUPED, 1, 1),
        Row("new-season", new_season_settings, judge_new_season, 150, _SEASONS, 1, 1),
        Row("pooled-season", pooled_season_settings, judge_new_season, 80, _SEASONS, 1, 1),
        Row("order", order_settings, judge_order, 500, _ORDERS, 1, 1),
        Row("pooled-order", pooled_order_settings, judge_order, 500, _ORDERS, 1, 1),
        Row("planning", planned_designs, judge_planned, 10_000, _PLANNING, 1, 1),
    )
}


def pieces(row: Row, seed: int, trials: int, take_only: int | None = None) -> list[Piece]:
    """The pieces of a row with one seed; ``take_only`` keeps the first settings (for tests)."""
    settings = list(row.settings())[:take_only]
    return pieces_of(
        row.name,
        settings,
        row.judge,
        seed=seed,
        trials=trials,
        sources=row.sources,
        size=row.size,
    )


def run_row(
    row: Row,
    seeds: Sequence[int],
    work: Path,
    jobs: int,
    *,
    trials: int | None = None,
    take_only: int | None = None,
    quiet: bool = False,
) -> pd.DataFrame:
    """All settings of a row with every seed, one record each."""
    asked = [
        piece for seed in seeds for piece in pieces(row, seed, trials or row.trials, take_only)
    ]
    return pd.DataFrame(make_pieces(asked, work, jobs, quiet=quiet))


def run_again(
    frame: pd.DataFrame,
    work: Path,
    jobs: int,
    *,
    trials: int = AGAIN_TRIALS,
    quiet: bool = False,
    make: bool = True,
) -> pd.DataFrame | None:
    """The 10 lowest settings of each seed once more, with fresh trials.

    ``make=False`` only reads what was kept; None when that is nothing.
    """
    row = ROWS["grid"]
    settings = list(row.settings())
    asked = []
    for seed, part in frame.groupby("seed"):
        for index in sorted(lowest(long_form(part))["index"]):
            fresh = int(seed) + FRESH
            asked.append(
                Piece(
                    row="grid, again",
                    name=f"grid-again_seed{fresh}_{trials}_{index:03d}",
                    seed=fresh,
                    trials=trials,
                    settings=((int(index), settings[int(index)]),),
                    judge=row.judge,
                    sources=row.sources,
                )
            )
    if make:
        return pd.DataFrame(make_pieces(asked, work, jobs, quiet=quiet))
    records = [record for piece in asked for record in kept(piece, work) or []]
    return pd.DataFrame(records) if records else None


def run_floored(
    row: Row,
    frame: pd.DataFrame,
    bar: float,
    work: Path,
    jobs: int,
    *,
    quiet: bool = False,
    make: bool = True,
) -> pd.DataFrame | None:
    """Every setting with a target under its floor once more, twice the trials, all fresh."""
    settings = list(row.settings())
    long = long_form(frame)
    asked = [
        Piece(
            row=f"{row.name}, again",
            name=f"{row.name}-again_seed{int(seed) + FRESH}_{2 * int(trials)}_{int(index):03d}",
            seed=int(seed) + FRESH,
            trials=2 * int(trials),
            settings=((int(index), settings[int(index)]),),
            judge=row.judge,
            sources=row.sources,
        )
        for (seed, trials, index), part in long.groupby(["seed", "trials", "index"])
        if part["coverage"].min() < bar
    ]
    if make and asked:
        return pd.DataFrame(make_pieces(asked, work, jobs, quiet=quiet))
    records = [record for piece in asked for record in kept(piece, work) or []]
    return pd.DataFrame(records) if records else None


def kept_row(
    row: Row, seeds: Sequence[int], work: Path, *, trials: int | None, take_only: int | None
) -> pd.DataFrame | None:
    """Whatever earlier runs kept of a row, finished or not; None when there is nothing."""
    records: list[dict[str, Any]] = []
    for seed in seeds:
        for piece in pieces(row, seed, trials or row.trials, take_only):
            records.extend(kept(piece, work) or [])
    return pd.DataFrame(records) if records else None
