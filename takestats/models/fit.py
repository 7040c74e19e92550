"""Fit the take: which model do these trays get?"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING, Literal

import numpy as np

from takestats.models.belief import Belief
from takestats.models.checks import (
    check_arguments,
    check_levels,
    reference_levels,
    refuse,
)
from takestats.models.design import (
    Design,
    check_curves,
    check_interactions,
    check_rank,
    empty_pairs,
)
from takestats.models.engines import (
    distinct_patterns,
    grid_belief,
    is_by_cells,
    layered_belief,
    quick_belief,
    sampled_belief,
    wald_belief,
    with_lower,
)
from takestats.models.fit_notes import count_dates, fit_notes
from takestats.models.layers import Layers, check_grouping, find_layers
from takestats.models.lines import Lines, make_lines
from takestats.models.splines import curve_through, is_curve
from takestats.models.take_model import TakeModel
from takestats.wording import models as words
from takestats.wording.layered import few_levels_note, unlayered_notes
from takestats.wording.numbers import plain

if TYPE_CHECKING:
    from takestats.records.result import Records

Engine = Literal["tray_model", "quick", "quasi", "gee", "ml"]

_FEWEST_GROUPS = 3
ENGINES = ("tray_model", "quick", "quasi", "gee", "ml")


def _names(value: str | Sequence[str] | None) -> list[str]:
    if value is None:
        return []
    return [value] if isinstance(value, str) else list(value)


def _several_seasons(records: Records, count: str | None) -> bool:
    trays = records.trays if count is None else records.choose_count(count)
    return int(trays.loc[trays["counted"].astype(bool), "season"].nunique()) > 1


def fit_take(
    records: Records,
    factors: str | Sequence[str],
    *,
    curves: str | Sequence[str] = (),
    interactions: Sequence[Sequence[str]] = (),
    grouping: str | Sequence[str] | None = "auto",
    reference: Mapping[str, str] | None = None,
    season: str | None = "auto",
    count: str | None = None,
    out_of: Literal["made", "live_understock"] = "made",
    missing: Literal["leave_out"] = "leave_out",
    engine: Engine = "tray_model",
    seed: int = 1,
) -> TakeModel:
    """What take do these trays show, for each level of what was tried?

    Parameters
    ----------
    records : Records
        From :func:`takestats.read_records`.
    factors : str or list of str
        Columns whose levels are told apart; each shifts the take by itself
        unless an interaction is named. An empty list gives the take over all.
    curves : str or list of str
        Columns of numbers (a caliper in mm, days) the take may bend along.
        Under four distinct values a curve becomes a factor; four or five give
        a straight line; else a restricted cubic spline of 3 knots under 15
        trays, 4 above.
    interactions : list of lists of str
        Factors or curves whose effect may depend on each other; those inside
        a longer one come with it.
    grouping : str, list of str or None
        A layer above the trays. ``"auto"``: a recorded block, else the graft
        date where trays share dates, when two of them or more hold two trays
        or more; ``None`` switches it off, said in ``notes``. Or one column by
        name (combination, season, grafter, donor), whose levels are then drawn
        from many and asked for by :func:`takestats.group_takes`; under three
        levels it is a factor. Two names that cross: approximately.
    reference : mapping of str to str, optional
        The level others are compared against; by default the one with most
        trays.
    season : str
        ``"auto"``: several seasons are fitted with season as a factor, said in
        ``notes``; ``"newest"``; or one of them by name. Never pooled silently.
    count : str, optional
        Which count; by default the one the records chose (settled).
    out_of : {"made", "live_understock"}
        What take is a share of.
    missing : "leave_out"
        A blank in a used column leaves that line out, counted in ``notes``.
    engine : {"tray_model", "quick", "quasi", "gee", "ml"}
        The tray model; the quick closed form (one factor, or the cells of
        several); or, for a second look and for reference: quasi-binomial
        regression, estimating equations with the correction for few trays,
        and maximum likelihood with a normal tray effect.
    seed : int
        Same data, same seed, same digits.

    Returns
    -------
    TakeModel
        With ``coefficients``, ``tray_variation``, ``lines`` and ``notes``.

    Raises
    ------
    UnknownColumnError, UnknownLevelError
        For a column or level the records do not have.
    DesignError
        No usable line, one level only, an interaction with an empty cell,
        columns that cannot be told apart, two curves side by side, a grouping
        that is a factor or the tray, a tray in two groups.
    CountsError
        For an argument that cannot be used.

    Notes
    -----
    Beta-binomial and logit-normal trays, each with one common spread and with
    an own spread per level of the first factor, weak priors, averaged by their
    evidence. One factor, or every cell of several: on an exact grid; any other
    design: by importance sampling with a fixed seed; ``notes`` say which.
    A layer above the trays, or several rows in one tray (two methods, two
    calipers): two models with one more normal term, by importance sampling, or
    for a grouping by itself on an exact grid. Without trays: binomial, grafts
    counted as if independent. Where a level has one tray, its limits rest on
    the assumed range of the spread.

    References
    ----------
    With one factor the prior on each take is Beta(1/2, 1/2): Jeffreys, as in
    Brown, Cai & DasGupta 2001, Stat Sci 16:101. The average of four parts is
    this project's own; reports/ shows how often its limits hold.

    Examples
    --------
    >>> import pandas as pd
    >>> import takestats as ts
    >>> bench = pd.DataFrame({
    ...     "season": ["2025-26"] * 6, "tray": ["A", "B", "C", "D", "E", "F"],
    ...     "method": ["cleft", "cleft", "cleft", "side veneer", "side veneer", "side veneer"],
    ...     "grafted": [40] * 6, "taken": [31, 36, 33, 38, 39, 40],
    ...     "count_date": ["2026-06-15"] * 6})
    >>> model = ts.fit_take(ts.records_from_frame(bench), ["method"])
    >>> model.trays, model.grafts
    (6, 240.0)
    """
    named, along = _names(factors), _names(curves)
    check_arguments(named, along, missing, engine, ENGINES)
    groups = check_grouping(grouping, named, along, engine)
    notes: list[str] = []
    alone = "season" not in (*named, *groups)
    if season == "auto" and alone and _several_seasons(records, count):
        named.append("season")
        notes.append(words.SEASON_FACTOR_NOTE)
    used = [*named, *groups]
    lines = make_lines(records, used, season=season, count=count, out_of=out_of, curves=along)
    few = [name for name in groups if lines.table[name].nunique() < _FEWEST_GROUPS]
    for name in few:
        notes.append(few_levels_note(name, int(lines.table[name].nunique())))
        named.append(name)
    if groups:
        groups = tuple(name for name in groups if name not in few)
        grouping = groups or "auto"
    for column in list(along):
        if not is_curve(lines.table[column].tolist()):
            along.remove(column)
            named.append(column)
            lines.table[column] = [plain(value) for value in lines.table[column]]
            notes.append(words.few_values_note(column))
    check_levels(lines, named)
    layers = find_layers(
        lines.table,
        named,
        along,
        grouping=grouping,
        trays_recorded=not records.no_trays,
        trays=lines.trays,
    )
    chosen = reference_levels(lines, named, reference)
    design = _design(lines, named, along, interactions, chosen, notes)
    belief = _belief(lines, design, layers, records, engine, seed)
    which = count if count is not None else records.count
    layered = engine == "tray_model" or layers.named
    layer_notes = layers.notes if layered else unlayered_notes(engine, layers.column, layers.rows)
    return TakeModel(
        factors=design.factors,
        curves=tuple(curve.name for curve in design.curves),
        design=design,
        engine=engine,
        out_of=out_of,
        count=which,
        count_dates=count_dates(lines.table),
        season=lines.season,
        seasons=lines.seasons,
        reference=chosen,
        notes=(
            *fit_notes(lines, records, chosen, which, out_of),
            *notes,
            *layer_notes,
            *belief.notes,
        ),
        left_out=lines.left_out,
        trays_recorded=not records.no_trays,
        seed=seed,
        grouping=(layers.column or None) if layered else None,
        units=layers.units,
        records=records,
        belief=belief,
        _lines=lines.table,
    )


def _design(
    lines: Lines,
    factors: list[str],
    curves: list[str],
    interactions: Sequence[Sequence[str]],
    reference: Mapping[str, str],
    notes: list[str],
) -> Design:
    table = lines.table
    trays = lines.trays
    levels = {
        name: (
            reference[name],
            *(x for x in map(str, table[name].unique()) if x != reference[name]),
        )
        for name in factors
    }
    shapes = tuple(curve_through(name, table[name].to_numpy(dtype=float), trays) for name in curves)
    asked = [tuple(names) for names in interactions]
    design = Design(factors=tuple(factors), levels=levels, curves=shapes, interactions=())
    patterns, at = distinct_patterns(table, design)
    check_interactions(asked, factors, curves, patterns, levels)
    design = Design(
        factors=tuple(factors), levels=levels, curves=shapes, interactions=with_lower(asked)
    )
    check_curves(shapes, {name: np.asarray(table[name], dtype=float) for name in curves})
    check_rank(design, patterns, np.bincount(at).tolist())
    notes.extend(words.curve_note(shape.name, len(shape.knots)) for shape in shapes)
    if not is_by_cells(design):
        notes.extend(words.empty_pairs_notes(empty_pairs(design, patterns)))
    return design


def _belief(
    lines: Lines, design: Design, layers: Layers, records: Records, engine: Engine, seed: int
) -> Belief:
    if engine == "quick":
        if design.curves:
            raise refuse(
                "engine, quick",
                "a curve was asked for",
                "the quick closed form takes one factor, or the cells of several",
                "leave the curve out, or use engine quasi or the tray model",
            )
        return quick_belief(lines.table, design, no_trays=records.no_trays)
    if engine != "tray_model":
        return wald_belief(lines.table, design, layers, engine)
    if layers.column or layers.rows:
        return layered_belief(
            lines.table,
            design,
            layers,
            no_trays=records.no_trays,
            row_effect=records.trial.trial.get("randomised") != "graft",
            seed=seed,
        )
    if is_by_cells(design):
        return grid_belief(lines.table, design, no_trays=records.no_trays, seed=seed)
    return sampled_belief(lines.table, design, no_trays=records.no_trays, seed=seed)
