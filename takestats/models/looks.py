"""Does a well-known method answer for these trays, and what does it say?"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from takestats.errors import DesignError
from takestats.models.belief import Pattern
from takestats.models.design import Design
from takestats.models.layered_ml import ml_two_spreads
from takestats.models.maximum_likelihood import maximum_likelihood
from takestats.models.second_look import (
    Method,
    estimating_equations,
    no_answer,
    quasi_binomial,
)
from takestats.models.wald import WaldFit

Floats = NDArray[np.float64]


def cells_of(design: Design, patterns: Sequence[Pattern]) -> dict[str, list[object]]:
    """The level of each line, of every factor and of every interaction of factors."""
    place = {name: i for i, name in enumerate(design.factors)}
    cells: dict[str, list[object]] = {
        name: [pattern[i] for pattern in patterns] for name, i in place.items()
    }
    for names in design.interactions:
        if all(name in place for name in names):
            cells[" by ".join(names)] = [
                ", ".join(str(pattern[place[name]]) for name in names) for pattern in patterns
            ]
    return cells or {"all": ["all grafts"] * len(patterns)}


def look(
    method: Method,
    taken: Floats,
    tried: Floats,
    design: Design,
    patterns: Sequence[Pattern],
    tray: NDArray[np.int64],
    *,
    group: NDArray[np.int64] | None = None,
) -> WaldFit:
    """Fit by one of the other methods, where the counts allow an answer.

    Parameters
    ----------
    method : {"quasi", "gee", "ml"}
    taken, tried : ndarray of shape (lines,)
    design : Design
    patterns : sequence of Pattern
        One per line.
    tray : ndarray of int, shape (lines,)
        Lines that are not independent: a tray, or the block above it.
    group : ndarray of int, shape (lines,), optional
        A layer above the trays, for maximum likelihood.

    Raises
    ------
    DesignError
        Where there is no answer, with the reason, decided from the counts
        before any library is called.
    """
    matrix = design.matrix(patterns)
    why = no_answer(
        taken,
        tried,
        cells_of(design, patterns),
        matrix.shape[1],
        int(np.unique(tray).size),
        design=matrix,
        method=method,
        tray_of=tray,
    )
    if why:
        raise DesignError(
            where=f"engine, {method}",
            what=why,
            rule="these methods need grafts that took and that failed in every level, and trays",
            next_step="use the tray model, which answers here",
        )
    if method == "quasi":
        return quasi_binomial(taken, tried, matrix)
    if method == "gee":
        return estimating_equations(taken, tried, matrix, tray)
    if group is not None:
        return ml_two_spreads(taken, tried, matrix, group).fit
    shared = tray if np.unique(tray).size < tray.size else None
    return maximum_likelihood(taken, tried, matrix, groups=shared)
