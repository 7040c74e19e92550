"""How do the odds of taking compare? For the statistician."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any, Literal

from pandas import DataFrame

from takestats.answers.pairs import compared_pairs
from takestats.answers.population import ask
from takestats.answers.raw import all_or_none
from takestats.errors import CountsError, DesignError
from takestats.interval import check_level
from takestats.models.result import TableResult
from takestats.models.take_model import TakeModel
from takestats.wording import answers as words


@dataclass(frozen=True, eq=False, kw_only=True)
class OddsRatios(TableResult):
    """Odds ratios with limits, A against B.

    Parameters
    ----------
    by : tuple of str
    kind : str
    level : float
    """

    by: tuple[str, ...]
    kind: str
    level: float


def odds_ratios(
    model: TakeModel,
    by: str | Sequence[str],
    *,
    kind: Literal["averaged", "same_tray"] = "averaged",
    within: str | Sequence[str] | None = None,
    level: float = 0.95,
) -> OddsRatios:
    """How many times better are the odds of A than those of B?

    Parameters
    ----------
    model : TakeModel
    by : str or list of str
        The factor whose levels are compared.
    kind : {"averaged", "same_tray"}
        Odds of the two takes averaged over trays, or odds of two grafts that
        share a tray (conditional; from the logit-normal parts alone).
    within : str or list of str, optional
    level : float
        Confidence level.

    Returns
    -------
    OddsRatios
        Columns: within, level_a, level_b, odds_ratio, low, high. ``inf``: no
        upper bound; 0: no lower bound.

    Raises
    ------
    UnknownColumnError, CountsError, DesignError

    Notes
    -----
    Where every graft of A took, or none of B, the ratio has no upper bound;
    the mirror has no lower bound. The averaged and the same-tray ratio differ
    whenever trays differ: averaging over trays pulls the ratio towards 1.

    References
    ----------
    Zeger, Liang & Albert 1988, Biometrics 44:1049-1060 (averaged against
    conditional).

    Examples
    --------
    >>> import pandas as pd
    >>> import takestats as ts
    >>> bench = pd.DataFrame({
    ...     "season": ["2025-26"] * 4, "tray": ["A", "B", "C", "D"],
    ...     "method": ["cleft", "cleft", "side veneer", "side veneer"],
    ...     "grafted": [40] * 4, "taken": [31, 36, 40, 40]})
    >>> odds = ts.odds_ratios(ts.fit_take(ts.records_from_frame(bench), ["method"]), "method")
    >>> float(odds.table.loc[0, "low"])
    0.0
    """
    check_level(level)
    if kind not in ("averaged", "same_tray"):
        raise CountsError(
            where="kind",
            what=f"{kind!r}",
            rule="averaged or same_tray",
            next_step="choose one of these",
        )
    question = ask(model, by, within, None, None, "grafts")
    found, lacking = compared_pairs(model, question, "all")
    rows: list[dict[str, Any]] = []
    for pair in found:
        ratio = model.belief.log_odds_ratio(*pair.populations, level, same_tray=kind == "same_tray")
        edge_a, edge_b = (all_or_none(model.arrays, lines) for lines in pair.own)
        unbounded_above = edge_a == "all" or edge_b == "none"
        unbounded_below = edge_a == "none" or edge_b == "all"
        rows.append(
            pair.names
            | {
                "odds_ratio": math.exp(ratio.estimate),
                "low": 0.0 if unbounded_below else math.exp(ratio.low),
                "high": math.inf if unbounded_above else math.exp(ratio.high),
            }
        )
    if not rows:
        raise DesignError(
            where=f"odds_ratios, {', '.join(question.by)}",
            what="not estimable here: no trays of " + "; ".join(lacking),
            rule="two levels with trays at the same levels of the other factors",
            next_step="compare levels that occur together",
        )
    names = [*question.within, "level_a", "level_b", "odds_ratio", "low", "high"]
    return OddsRatios(
        _table=DataFrame(rows, columns=names),
        notes=words.odds_notes(kind, level, lacking) + model.notes,
        sentences=words.odds_sentences(rows, list(question.within), kind, level),
        by=question.by,
        kind=kind,
        level=level,
    )
