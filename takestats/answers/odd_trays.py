"""Which trays are worth a look?"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray
from pandas import DataFrame
from scipy import stats

from takestats.answers.raw import quick_of
from takestats.models.belief import Pattern, single
from takestats.models.result import TableResult
from takestats.models.take_model import TakeModel
from takestats.wording import trays as words

Floats = NDArray[np.float64]

_RARE = 0.01


@dataclass(frozen=True, eq=False, kw_only=True)
class OddTrays(TableResult):
    """Trays far from their group.

    Parameters
    ----------
    looked_at : int
        How many trays were looked at.
    """

    looked_at: int


def _tail(taken: float, tried: float, take: float, correlation: float) -> tuple[float, str]:
    """Chance of a count at least this far out, counting half of the count itself."""
    size = (1.0 - correlation) / max(correlation, 1e-6)
    curve = stats.betabinom(int(tried), take * size, (1.0 - take) * size)
    at = float(curve.pmf(taken))
    low = float(curve.cdf(taken)) - 0.5 * at
    return (low, "low") if low <= 0.5 else (1.0 - low, "high")


def odd_trays(model: TakeModel, *, rare: float = _RARE) -> OddTrays:
    """Which trays lie far from their group, further than trays usually do?

    Parameters
    ----------
    model : TakeModel
    rare : float
        A tray is listed when a count at least this far out has a smaller
        chance than this.

    Returns
    -------
    OddTrays
        tray_id, season, the factors, taken, tried, raw_rate, expected_rate,
        chance, side ("low" or "high"), the oddest first.

    Notes
    -----
    Beta-binomial tail with the fitted take and intra-tray correlation of the
    tray's own group (posterior medians). The tray itself is part of the fit,
    which hides it a little. Where no trays were recorded the list is empty.

    References
    ----------
    Half of the count's own chance (mid-p): Lancaster 1961, J Am Stat Assoc
    56:223-234 (from memory).

    Examples
    --------
    >>> import pandas as pd
    >>> import takestats as ts
    >>> from takestats.answers.odd_trays import odd_trays
    >>> bench = pd.DataFrame({
    ...     "season": ["2025-26"] * 8, "tray": list("ABCDEFGH"),
    ...     "grafted": [40] * 8, "taken": [37, 38, 36, 39, 38, 37, 38, 8]})
    >>> odd_trays(ts.fit_take(ts.records_from_frame(bench), [])).table["tray_id"].tolist()
    ['H']
    """
    lines = model.lines
    columns = ["tray_id", "season", *model.factors, "taken", "tried", "raw_rate"]
    columns += ["expected_rate", "chance", "side"]
    rows: list[dict[str, Any]] = []
    if model.trays_recorded:
        expected, correlations = _expected(model)
        for (_, line), take, correlation in zip(
            lines.iterrows(), expected, correlations, strict=True
        ):
            chance, side = _tail(line["taken"], line["tried"], take, correlation)
            if chance < rare:
                rows.append(
                    {name: line[name] for name in ("tray_id", "season", *model.factors)}
                    | {
                        "taken": float(line["taken"]),
                        "tried": float(line["tried"]),
                        "raw_rate": float(line["taken"]) / float(line["tried"]),
                        "expected_rate": take,
                        "chance": chance,
                        "side": side,
                    }
                )
    table = DataFrame(rows, columns=columns).sort_values(
        ["chance", "tray_id"], kind="stable", ignore_index=True
    )
    return OddTrays(
        _table=table,
        notes=(words.odd_trays_note(len(lines), rare), *model.notes),
        sentences=words.odd_trays_sentences(
            sorted(rows, key=lambda row: (row["chance"], row["tray_id"])),
            len(lines),
            rare,
            model.trays_recorded,
        ),
        looked_at=len(lines),
    )


def _expected(model: TakeModel) -> tuple[list[float], list[float]]:
    takes: dict[Pattern, float] = {}
    spreads: dict[str | None, float] = {}
    expected, correlations = [], []
    columns = (*model.factors, *model.curves)
    for pattern in model.arrays.patterns(columns):
        if pattern not in takes:
            takes[pattern] = model.belief.take(single(columns, pattern), 0.95).estimate
        group = str(pattern[0]) if model.factors else None
        if group not in spreads:
            found = model.belief.spread(group, 0.95)
            spreads[group] = found.estimate if found is not None else _quick_spread(model)
        expected.append(takes[pattern])
        correlations.append(spreads[group])
    return expected, correlations


def _quick_spread(model: TakeModel) -> float:
    """Correlation behind the quick form's dispersion."""
    everyone = np.ones(model.arrays.tray.size, dtype=bool)
    quick = quick_of(model.arrays, [everyone], trays_recorded=True)
    size = float(model.arrays.tried.mean())
    return float(np.clip((quick.dispersion - 1.0) / max(size - 1.0, 1.0), 1e-4, 0.9))
