"""What are the takes at any design row, draw by draw?

The average of the tray models as weighted draws, and what can be read from them.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from takestats.errors import DesignError
from takestats.models.averaged_take import correlation_of_sigma
from takestats.models.sampled_part import SampledPart, takes_of
from takestats.models.sampled_quantiles import weighted_quantiles

if TYPE_CHECKING:
    from collections.abc import Sequence

    from numpy.typing import ArrayLike, NDArray

    FloatArray = NDArray[np.float64]
    IntArray = NDArray[np.intp]

_MOST_NUMBERS = 60_000_000


@dataclass(frozen=True, eq=False, kw_only=True)
class SampledPosterior:
    """The average of the tray models, as weighted draws.

    Parameters
    ----------
    parts : tuple of SampledPart
        Draws of the parts stand one after the other in this order, everywhere.
    levels : int
        Levels of the first factor (1 when no ``spread_group`` was passed).
    notes : tuple of str
        What was approximated or shared.
    seed : int
    """

    parts: tuple[SampledPart, ...]
    levels: int
    notes: tuple[str, ...]
    seed: int

    @property
    def weights(self) -> FloatArray:
        """Weights of all draws; they sum to 1, each part to its probability."""
        return np.concatenate([p.probability * p.weights for p in self.parts])

    @property
    def coefficients(self) -> FloatArray:
        """Coefficients of all draws, ``(draws, coefficients)``."""
        return np.concatenate([p.coefficients for p in self.parts])

    @property
    def ess(self) -> float:
        """Effective sample size of all draws together."""
        return float(1.0 / np.sum(self.weights**2))

    def averaged_take(
        self,
        design: ArrayLike,
        *,
        row_weights: ArrayLike | None = None,
        spread_group: ArrayLike | None = None,
    ) -> FloatArray:
        """What is the take at these design rows, averaged over trays, draw by draw?

        Parameters
        ----------
        design : array_like
            Rows x coefficients, in the coding of the fit.
        row_weights : array_like, optional
            ``(answers, rows)``: each answer is the weighted mean of the takes of
            the rows (weights are scaled to sum to 1).
        spread_group : array_like, optional
            Level of the first factor of every row; needed when the fit had levels.

        Returns
        -------
        numpy.ndarray
            ``(draws, rows)``, or ``(draws, answers)`` with ``row_weights``.

        Raises
        ------
        DesignError
            Shapes that do not match, or an answer too large to hold at once.
        """
        x, group, mixing = self._rows(design, row_weights, spread_group)
        rows, back = np.unique(np.column_stack([x, group]), axis=0, return_inverse=True)
        back = back.ravel()
        x, group = rows[:, :-1], rows[:, -1].astype(np.intp)
        if mixing is None:
            return np.concatenate([m for p in self.parts for m in takes_of(p, x, group)])[:, back]
        folded = np.zeros((mixing.shape[0], x.shape[0]))
        np.add.at(folded.T, back, mixing.T)
        return np.concatenate([m @ folded.T for p in self.parts for m in takes_of(p, x, group)])

    def same_tray_log_odds(self, design: ArrayLike) -> tuple[FloatArray, FloatArray]:
        """What are the log odds in one and the same middle tray? From the logit-normal parts.

        Parameters
        ----------
        design : array_like
            Rows x coefficients; a row may be a difference of two rows.

        Returns
        -------
        (values, weights)
            ``(draws, rows)`` and ``(draws,)``, weights summing to 1. Without
            trays, from the binomial part, where every tray is the middle one.
        """
        x = np.atleast_2d(np.asarray(design, dtype=float))
        parts = [p for p in self.parts if p.family == "logit-normal"] or list(self.parts)
        total = sum(p.probability for p in parts)
        weights = [p.weights * (p.probability / total) for p in parts]
        return np.concatenate([p.coefficients @ x.T for p in parts]), np.concatenate(weights)

    def tray_correlation(
        self,
        design: ArrayLike,
        *,
        row_weights: ArrayLike | None = None,
        level: int | None = None,
    ) -> tuple[FloatArray, FloatArray]:
        """How alike are grafts of one tray of a level, beyond what the design explains?

        Parameters
        ----------
        design : array_like
            Rows x coefficients: the lines of the level.
        row_weights : array_like, optional
            One weight per row; equal when left out.
        level : int, optional
            Level of the first factor; None asks for the spread that all trays
            share, from the parts that have one.

        Returns
        -------
        (values, weights)
            Intra-tray correlation per draw, weights summing to 1. The
            logit-normal correlation is taken at the mean log odds of the rows.

        Raises
        ------
        DesignError
            No trays were recorded, so that there is nothing to estimate.
        """
        x = np.atleast_2d(np.asarray(design, dtype=float))
        w = np.ones(x.shape[0]) if row_weights is None else np.asarray(row_weights, dtype=float)
        middle = (w / w.sum()) @ x
        parts = [p for p in self.parts if p.family != "binomial"]
        if level is None:
            parts = [p for p in parts if not p.own_spread]
        if not parts:
            raise DesignError(
                where="the intra-tray correlation",
                what="no trays were recorded",
                rule="it is seen only where trays were counted one by one",
                next_step="record the tray of every graft",
            )
        values, weights = [], []
        total = sum(p.probability for p in parts)
        for part in parts:
            column = 0 if level is None or part.spread.shape[1] == 1 else level
            spread = part.spread_by_draw[:, column]
            if part.family == "logit-normal":
                spread = correlation_of_sigma(part.coefficients @ middle, spread)
            values.append(spread)
            weights.append(part.weights * (part.probability / total))
        return np.concatenate(values), np.concatenate(weights)

    def quantiles(self, values: ArrayLike, probabilities: Sequence[float]) -> FloatArray:
        """Weighted quantiles of something known at every draw.

        Parameters
        ----------
        values : array_like
            ``(draws,)`` or ``(draws, answers)``.
        probabilities : sequence of float

        Returns
        -------
        numpy.ndarray
            ``(probabilities,)`` or ``(probabilities, answers)``.
        """
        return weighted_quantiles(values, self.weights, probabilities)

    def _rows(
        self, design: ArrayLike, row_weights: ArrayLike | None, spread_group: ArrayLike | None
    ) -> tuple[FloatArray, IntArray, FloatArray | None]:
        x = np.atleast_2d(np.asarray(design, dtype=float))
        if spread_group is None:
            group = np.zeros(x.shape[0], dtype=np.intp)
        else:
            group = np.asarray(spread_group, dtype=np.intp).ravel()
        mixing = None
        if row_weights is not None:
            mixing = np.atleast_2d(np.asarray(row_weights, dtype=float))
            mixing = mixing / mixing.sum(axis=1, keepdims=True)
        wanted = self.parts[0].coefficients.shape[1]
        draws = sum(p.draws for p in self.parts)
        faults = []
        if x.shape[1] != wanted:
            faults.append(f"{x.shape[1]} columns, the fit has {wanted}")
        if group.size != x.shape[0] or (
            group.size and not 0 <= group.min() <= group.max() < self.levels
        ):
            faults.append(
                f"levels {sorted(set(group.tolist()))} for {x.shape[0]} rows, "
                f"the fit has {self.levels}"
            )
        if spread_group is None and self.levels > 1:
            faults.append("no level of the first factor, the fit has spreads by level")
        if mixing is not None and mixing.shape[1] != x.shape[0]:
            faults.append(f"{mixing.shape[1]} row weights for {x.shape[0]} rows")
        if mixing is None and draws * x.shape[0] > _MOST_NUMBERS:
            faults.append(f"{draws} draws of {x.shape[0]} rows are more than is held at once")
        if faults:
            raise DesignError(
                where="the rows asked about",
                what="; ".join(faults),
                rule="rows in the coding of the fit, with the level of the first factor",
                next_step="build the rows as the fit was built; pass row_weights for averages",
            )
        return x, group, mixing
