"""Which layer stands beside the trays of a fit, and how much do its units differ?"""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Any, Literal

from pandas import DataFrame

from takestats.interval import check_level
from takestats.models.belief import SpreadEstimate
from takestats.models.grouped_belief import GroupedBelief
from takestats.models.layered_belief import LayeredBelief
from takestats.models.result import TableResult
from takestats.models.take_model import TakeModel
from takestats.models.weighted import weighted_spread
from takestats.wording import layer_answers as words

_ROW_SPREADS: tuple[Literal["tray", "row"], ...] = ("tray", "row")


@dataclass(frozen=True, eq=False, kw_only=True)
class ModelLayer(TableResult):
    """The layer of a fit beside the trays themselves.

    Parameters
    ----------
    layer : str
        "groups" (trays stand in blocks, days, combinations) or "rows" (several
        rows of the fit in one tray).
    column : str
        Whose levels the groups are; empty for rows.
    """

    layer: str
    column: str
    _spread: DataFrame = field(repr=False)

    @property
    def spread(self) -> DataFrame:
        """Standard deviation of the units, log odds (a copy): what, standard_deviation, low, high.

        One row for groups; for rows one of the trays and, where rows of a tray
        may differ beyond chance, one of the rows.
        """
        return self._spread.copy()


def model_layer(model: TakeModel, *, level: float = 0.95) -> ModelLayer | None:
    """Do trays stand in blocks or days, or share rows, and how much do those differ?

    Parameters
    ----------
    model : TakeModel
    level : float
        Confidence level.

    Returns
    -------
    ModelLayer or None
        None where trays are the only layer. Table: factor, level, units (blocks
        with trays of this level), trays, whole (every unit has one level of the
        factor: then the unit, not the tray, is what the factor was given to).

    Notes
    -----
    Median and equal tails of the standard deviation on the log odds, from the
    parts of the model that have one.

    Examples
    --------
    >>> import pandas as pd
    >>> import takestats as ts
    >>> from takestats.answers.model_layer import model_layer
    >>> bench = pd.DataFrame({
    ...     "season": "2026", "tray": [f"T{i}" for i in range(12)], "grafted": 40,
    ...     "block": ["A", "B", "C", "D"] * 3, "method": ["cleft", "side veneer"] * 6,
    ...     "taken": [30, 36, 39, 37, 31, 35, 38, 36, 29, 37, 38, 38]})
    >>> model = ts.fit_take(ts.records_from_frame(bench), ["method"])
    >>> model_layer(model).table[["level", "units", "whole"]].to_numpy().tolist()
    [['cleft', 2, True], ['side veneer', 2, True]]
    """
    check_level(level)
    belief = model.belief
    if isinstance(belief, LayeredBelief) and belief.posterior.layer == "rows":
        trays, rows = (belief.posterior.spread_draws(what) for what in _ROW_SPREADS)
        found = {
            "tray": _limits(weighted_spread(*trays, level)),
            "row": _limits(weighted_spread(*rows, level)),
        }
        # Where a level was drawn graft by graft rows have no spread of their own.
        kept = [{"what": what} | row for what, row in found.items() if row["high"] > 0.0]
        return ModelLayer(
            _table=DataFrame([], columns=["factor", "level", "units", "trays", "whole"]),
            notes=(),
            sentences=tuple(words.spread_sentence(row, level) for row in kept),
            layer="rows",
            column="",
            _spread=DataFrame(kept),
        )
    if not model.grouping or not isinstance(belief, LayeredBelief | GroupedBelief):
        return None
    row = {"what": model.grouping} | _limits(belief.between(level))
    table = _units(model)
    return ModelLayer(
        _table=table,
        notes=(words.spread_note(model.grouping, len(set(model.units))),),
        sentences=(words.spread_sentence(row, level),),
        layer="groups",
        column=model.grouping,
        _spread=DataFrame([row]),
    )


def _limits(spread: SpreadEstimate) -> dict[str, float]:
    return {"standard_deviation": spread.estimate, "low": spread.low, "high": spread.high}


def _units(model: TakeModel) -> DataFrame:
    """Units and trays behind each level of each factor."""
    lines = model.lines
    trays = lines["tray_id"].astype(str).tolist()
    rows: list[dict[str, Any]] = []
    for factor in model.factors:
        units_of: dict[str, set[str]] = {}
        trays_of: dict[str, set[str]] = {}
        levels_of: dict[str, set[str]] = {}
        of_lines = zip(model.units, lines[factor].astype(str).tolist(), trays, strict=True)
        for unit, level, tray in of_lines:
            units_of.setdefault(level, set()).add(unit)
            trays_of.setdefault(level, set()).add(tray)
            levels_of.setdefault(unit, set()).add(level)
        whole = all(len(levels) == 1 for levels in levels_of.values())
        for level in model.levels(factor):
            rows.append(
                {
                    "factor": factor,
                    "level": level,
                    "units": len(units_of.get(level, ())),
                    "trays": len(trays_of.get(level, ())),
                    "whole": whole,
                }
            )
    return DataFrame(rows, columns=["factor", "level", "units", "trays", "whole"])
