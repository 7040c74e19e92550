"""Which computation does a fit get? The exact grid where it applies, draws elsewhere."""

from __future__ import annotations

from itertools import combinations
from typing import Any

import numpy as np
import pandas as pd
from numpy.typing import NDArray
from pandas import DataFrame

from takestats.models.belief import Belief, Pattern
from takestats.models.crossed_belief import CrossedBelief
from takestats.models.design import Design
from takestats.models.grid import fit_grid, level_trays, spread_groups
from takestats.models.grid_belief import GridBelief
from takestats.models.grouped_belief import grouped_grid_belief
from takestats.models.layered import sample_layers
from takestats.models.layered_belief import LayeredBelief
from takestats.models.layered_crossed_fit import sample_crossed
from takestats.models.layered_grouping import LayeredGrouping
from takestats.models.layers import Layers
from takestats.models.looks import look
from takestats.models.quick import QuickBelief, quick_rates
from takestats.models.sampled import sample_posterior
from takestats.models.sampled_belief import SampledBelief
from takestats.models.second_look import Method
from takestats.models.wald_belief import WaldBelief
from takestats.wording.layered import unit_words

Floats = NDArray[np.float64]


def patterns_of(table: DataFrame, design: Design) -> list[Pattern]:
    """The fitted values of each line."""
    columns: list[list[Any]] = [table[name].astype(str).tolist() for name in design.factors]
    columns += [table[curve.name].astype(float).tolist() for curve in design.curves]
    return list(zip(*columns, strict=True)) if columns else [()] * len(table)


def distinct_patterns(table: DataFrame, design: Design) -> tuple[list[Pattern], NDArray[np.int64]]:
    """The distinct patterns in the order they appear, and which of them each line has."""
    columns: list[Any] = [table[name] for name in design.factors]
    columns += [table[curve.name].astype(float) for curve in design.curves]
    at = np.zeros(len(table), dtype=np.int64)
    for column in columns:
        codes, values = pd.factorize(column, use_na_sentinel=False)
        at = np.asarray(pd.factorize(at * len(values) + codes)[0], dtype=np.int64)
    first = np.unique(at, return_index=True)[1]
    return patterns_of(table.iloc[first], design), at


def with_lower(interactions: list[tuple[str, ...]]) -> tuple[tuple[str, ...], ...]:
    """Every interaction with all those inside it, shorter ones first."""
    found = dict.fromkeys(interactions)
    for names in interactions:
        for size in range(2, len(names)):
            found.update(dict.fromkeys(combinations(names, size)))
    return tuple(sorted(found, key=len))


def is_by_cells(design: Design) -> bool:
    """Whether every cell has its own take: then the exact grid answers."""
    if design.curves:
        return False
    if len(design.factors) < 2:
        return True
    return any(set(names) == set(design.factors) for names in design.interactions)


def _counts(table: DataFrame) -> tuple[Floats, Floats]:
    return table["taken"].to_numpy(dtype=float), table["tried"].to_numpy(dtype=float)


def grid_belief(table: DataFrame, design: Design, *, no_trays: bool, seed: int) -> Belief:
    """One factor, or every cell of several: the exact grid."""
    cells, at = distinct_patterns(table, design)
    taken, tried = _counts(table)
    firsts = [str(cell[0]) if cell else "all" for cell in cells]
    names = list(dict.fromkeys(firsts))
    first = [names.index(name) for name in firsts]
    trays = np.bincount(at, minlength=len(cells)).astype(float)
    groups = spread_groups(first, trays.tolist())
    if no_trays:
        levels = [
            level_trays(taken[at == i].sum(keepdims=True), tried[at == i].sum(keepdims=True), 0)
            for i in range(len(cells))
        ]
        posterior = fit_grid(levels, families=("binomial",))
    else:
        levels = [level_trays(taken[at == i], tried[at == i], groups[i]) for i in range(len(cells))]
        posterior = fit_grid(levels)
    group_of = {name: groups[first.index(index)] for index, name in enumerate(names)}
    return GridBelief(posterior, cells, group_of, trays_recorded=not no_trays, seed=seed)


def quick_belief(table: DataFrame, design: Design, *, no_trays: bool) -> Belief:
    """The quick closed form of one factor, or of the cells of several."""
    cells, at = distinct_patterns(table, design)
    rates = quick_rates(*_counts(table), at)
    return QuickBelief(rates.as_if_independent() if no_trays else rates, cells, no_trays=no_trays)


def wald_belief(table: DataFrame, design: Design, layers: Layers, engine: Method) -> Belief:
    """Quasi-binomial, estimating equations or maximum likelihood, where the counts allow one.

    Raises
    ------
    DesignError
        Where there is no answer, with the reason from the counts.
    """
    _, tray = np.unique(table["tray_id"].astype(str).to_numpy(str), return_inverse=True)
    group = np.unique(layers.units, return_inverse=True)[1] if layers.named else None
    fit = look(engine, *_counts(table), design, patterns_of(table, design), tray, group=group)
    return WaldBelief(fit, design)


def _first_levels(design: Design, patterns: list[Pattern]) -> NDArray[np.int64] | None:
    """Level of the first factor of each line."""
    if not design.factors:
        return None
    levels = design.levels[design.factors[0]]
    return np.array([levels.index(str(pattern[0])) for pattern in patterns])


def sampled_belief(table: DataFrame, design: Design, *, no_trays: bool, seed: int) -> Belief:
    """Any design: weighted draws."""
    patterns = patterns_of(table, design)
    taken, tried = _counts(table)
    group = _first_levels(design, patterns)
    posterior = sample_posterior(
        taken,
        tried,
        design.matrix(patterns),
        spread_group=group,
        trays=not no_trays,
        seed=seed,
    )
    return SampledBelief(posterior, design, patterns, tried, trays_recorded=not no_trays)


def layered_belief(
    table: DataFrame,
    design: Design,
    layers: Layers,
    *,
    no_trays: bool,
    row_effect: bool,
    seed: int,
) -> Belief:
    """A layer above the trays, or several rows in a tray."""
    patterns = patterns_of(table, design)
    taken, tried = _counts(table)
    level = _first_levels(design, patterns)
    if layers.rows:
        trays = table["tray_id"].astype(str).tolist()
        posterior = sample_layers(
            taken,
            tried,
            design.matrix(patterns),
            trays,
            layer="rows",
            level=level,
            row_effect=row_effect,
            seed=seed,
        )
        return LayeredBelief(posterior, design, patterns, tried)
    alone = not design.factors and not design.curves and not layers.second
    if layers.named and alone:
        return grouped_grid_belief(taken, tried, layers.units, layers.column, no_trays=no_trays)
    if layers.second:
        crossed = sample_crossed(
            taken,
            tried,
            design.matrix(patterns),
            layers.units,
            layers.second_units,
            level=level,
            seed=seed,
        )
        both = (layers.column, layers.second)
        return CrossedBelief(crossed, design, patterns, tried, groupings=both)
    posterior = sample_layers(
        taken,
        tried,
        design.matrix(patterns),
        layers.units,
        layer="grouping",
        level=level,
        seed=seed,
    )
    if layers.named:
        return LayeredGrouping(posterior, design, patterns, tried, grouping=layers.column)
    return LayeredBelief(posterior, design, patterns, tried, called=unit_words(layers.column))
