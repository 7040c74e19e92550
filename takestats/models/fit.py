"""Fit the take: which model do these trays get?"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING, Literal

import numpy as np
from numpy.typing import NDArray
from pandas import DataFrame

from takestats.errors import CountsError, DesignError, UnknownLevelError
from takestats.models.belief import Belief, Pattern
from takestats.models.grid import fit_grid, level_trays, spread_groups
from takestats.models.grid_belief import GridBelief
from takestats.models.lines import Lines, make_lines, nearest
from takestats.models.quick import QuickBelief, quick_rates
from takestats.models.take_model import TakeModel
from takestats.wording import models as words
from takestats.wording.numbers import listing

if TYPE_CHECKING:
    from takestats.records.result import Records

Engine = Literal["tray_model", "quick"]

_ENGINES = ("tray_model", "quick")
_MOST_FACTORS = 3


def _names(value: str | Sequence[str] | None) -> list[str]:
    if value is None:
        return []
    return [value] if isinstance(value, str) else list(value)


def _refuse(where: str, what: str, rule: str, next_step: str) -> DesignError:
    return DesignError(where=where, what=what, rule=rule, next_step=next_step)


def _check_levels(lines: Lines, factors: list[str]) -> None:
    for factor in factors:
        levels = lines.table[factor].unique()
        if len(levels) < 2:
            raise _refuse(
                f"factors, {factor}",
                f"one level only: {levels[0]}",
                "a factor needs two levels to be compared",
                "leave it out, or add trays of another level",
            )


def _check_trays(lines: Lines, factors: list[str]) -> None:
    """Refuse a tray that holds two levels of a used factor."""
    for factor in factors:
        levels = lines.table.groupby("tray_id", sort=False)[factor].agg(lambda x: sorted(set(x)))
        mixed = levels[levels.map(len) > 1]
        if len(mixed):
            raise _refuse(
                f"tray {mixed.index[0]}",
                f"holds two levels of {factor}: {listing(mixed.iloc[0])}"
                + (f"; so do {len(mixed) - 1} more trays" if len(mixed) > 1 else ""),
                "in this version every tray of a fit has one level of each used factor, "
                "because grafts that share a tray are not independent",
                f"leave {factor} out, or compare trays that hold one level each",
            )


def _reference(lines: Lines, factors: list[str], asked: Mapping[str, str] | None) -> dict[str, str]:
    chosen: dict[str, str] = {}
    for factor in factors:
        trays = lines.table.groupby(factor, sort=False)["tray_id"].nunique()
        if asked and factor in asked:
            level = str(asked[factor])
            if level not in trays.index:
                raise UnknownLevelError(
                    where=f"reference, {factor}",
                    what=f"{level!r}",
                    rule="a level of the column",
                    next_step=nearest(level, [str(x) for x in trays.index]),
                )
            chosen[factor] = level
        else:
            chosen[factor] = str(trays.idxmax())
    return chosen


def _cells(lines: Lines, factors: list[str]) -> tuple[list[Pattern], NDArray[np.int64]]:
    """Cells of the factors in the order of the records, and the cell of each line."""
    if not factors:
        return [()], np.zeros(len(lines.table), dtype=np.int64)
    rows = list(zip(*(lines.table[factor].astype(str) for factor in factors), strict=True))
    cells: list[Pattern] = list(dict.fromkeys(rows))
    index = {pattern: i for i, pattern in enumerate(cells)}
    return cells, np.array([index[row] for row in rows], dtype=np.int64)


def _grid_belief(lines: Lines, factors: list[str], records: Records, seed: int) -> Belief:
    cells, at = _cells(lines, factors)
    taken = lines.table["taken"].to_numpy(dtype=float)
    tried = lines.table["tried"].to_numpy(dtype=float)
    firsts = [str(cell[0]) if factors else "all" for cell in cells]
    names = list(dict.fromkeys(firsts))
    first = [names.index(name) for name in firsts]
    trays = np.bincount(at, minlength=len(cells))
    groups = spread_groups(first, trays.astype(float).tolist())
    if records.no_trays:
        levels = [
            level_trays(taken[at == i].sum(keepdims=True), tried[at == i].sum(keepdims=True), 0)
            for i in range(len(cells))
        ]
        posterior = fit_grid(levels, families=("binomial",))
    else:
        levels = [level_trays(taken[at == i], tried[at == i], groups[i]) for i in range(len(cells))]
        posterior = fit_grid(levels)
    return GridBelief(
        posterior,
        cells,
        {name: groups[first.index(index)] for index, name in enumerate(names)},
        trays_recorded=not records.no_trays,
        seed=seed,
    )


def _quick_belief(lines: Lines, factors: list[str]) -> Belief:
    cells, at = _cells(lines, factors)
    taken = lines.table["taken"].to_numpy(dtype=float)
    tried = lines.table["tried"].to_numpy(dtype=float)
    return QuickBelief(quick_rates(taken, tried, at), cells)


def _model_notes(
    lines: Lines, records: Records, reference: dict[str, str], count: str, out_of: str
) -> tuple[str, ...]:
    table = lines.table
    dates = _dates(table)
    notes = [words.count_note(count, dates, out_of)]
    notes.append(
        words.behind_note(
            int(table["tray_id"].nunique()), float(table["tried"].sum()), not records.no_trays
        )
    )
    notes.extend(lines.notes)
    if reference:
        notes.append(words.reference_note(reference))
        if not records.no_trays:
            first = next(iter(reference))
            trays = table.groupby(first, sort=False)["tray_id"].nunique()
            single = [str(level) for level in trays.index[trays == 1]]
            if single:
                notes.append(words.one_tray_note(single))
    return tuple(notes)


def _dates(table: DataFrame) -> tuple[str, ...]:
    dates = sorted({str(d)[:10] for d in table["count_date"].dropna() if str(d)})
    return (dates[0], dates[-1]) if len(dates) > 1 else tuple(dates)


def fit_take(
    records: Records,
    factors: str | Sequence[str],
    *,
    curves: str | Sequence[str] = (),
    interactions: Sequence[Sequence[str]] = (),
    grouping: str | None = "auto",
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
        Up to three columns. Several factors are fitted by their cells: every
        combination of levels has its own take. An empty list gives the take
        over all.
    curves, interactions : list
        Not in this version; must be empty.
    grouping : "auto" or None
        No layer above the tray in this version.
    reference : mapping of str to str, optional
        The level others are compared against; by default the one with most
        trays.
    season : str
        ``"auto"``: the newest; seasons are never pooled silently.
    count : str, optional
        Which count; by default the one the records chose (settled).
    out_of : {"made", "live_understock"}
        What take is a share of.
    missing : "leave_out"
        A blank in a used column leaves that line out, counted in ``notes``.
    engine : {"tray_model", "quick"}
        The tray model, or the quick closed form.
    seed : int
        For the draws behind averages over several cells.

    Returns
    -------
    TakeModel
        With ``coefficients``, ``tray_variation``, ``lines`` and ``notes``.

    Raises
    ------
    UnknownColumnError, UnknownLevelError
        For a column or level the records do not have.
    DesignError
        No usable line, one level only, a tray with two levels of a used
        factor, too many factors.
    CountsError
        For an argument that cannot be used.

    Notes
    -----
    Beta-binomial and logit-normal trays, each with one common spread and with
    an own spread per level of the first factor, weak priors, averaged by their
    evidence on an exact grid. Without trays: binomial, grafts counted as if
    independent.

    References
    ----------
    Prior on each take Beta(1/2, 1/2): Jeffreys, as in Brown, Cai & DasGupta
    2001, Stat Sci 16:101. The average of four parts is this project's own;
    reports/ shows how often its limits hold.

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
    named = _names(factors)
    _check_arguments(named, _names(curves), interactions, grouping, missing, engine)
    lines = make_lines(records, named, season=season, count=count, out_of=out_of)
    _check_levels(lines, named)
    if not records.no_trays:
        _check_trays(lines, named)
    chosen = _reference(lines, named, reference)
    belief = (
        _quick_belief(lines, named)
        if engine == "quick"
        else _grid_belief(lines, named, records, seed)
    )
    which = count if count is not None else records.count
    return TakeModel(
        factors=tuple(named),
        curves=(),
        engine=engine,
        out_of=out_of,
        count=which,
        count_dates=_dates(lines.table),
        season=lines.season,
        reference=chosen,
        notes=(*_model_notes(lines, records, chosen, which, out_of), *belief.notes),
        left_out=lines.left_out,
        trays_recorded=not records.no_trays,
        seed=seed,
        records=records,
        belief=belief,
        _lines=lines.table,
    )


def _check_arguments(
    factors: list[str],
    curves: list[str],
    interactions: Sequence[Sequence[str]],
    grouping: str | None,
    missing: str,
    engine: str,
) -> None:
    if engine not in _ENGINES:
        raise CountsError(
            where="engine",
            what=f"{engine!r}",
            rule=f"one of {', '.join(_ENGINES)}",
            next_step=nearest(engine, list(_ENGINES)),
        )
    if missing != "leave_out":
        raise CountsError(
            where="missing",
            what=f"{missing!r}",
            rule="a line with a blank in a used column is left out and counted",
            next_step='use missing="leave_out"',
        )
    if len(set(factors)) != len(factors):
        raise _refuse(
            "factors", f"{listing(factors)}", "each factor once", "leave the repeated one out"
        )
    if len(factors) > _MOST_FACTORS:
        raise _refuse(
            "factors",
            f"{len(factors)} factors",
            f"up to {_MOST_FACTORS} factors, fitted by their cells",
            "ask about fewer at once",
        )
    if curves or interactions or grouping not in ("auto", None):
        raise _refuse(
            "fit_take",
            "curves, interactions or a grouping were asked for",
            "this version fits the cells of up to three factors",
            "name the columns as factors",
        )
